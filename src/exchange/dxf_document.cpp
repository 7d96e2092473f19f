#include "exchange/dxf_document.h"

#include <fmt/format.h>

#include <Eigen/Geometry>
#include <cmath>

#include "base/number.h"
#include "exchange/dxf_entities.h"
#include "exchange/exact_text.h"

namespace bight::exchange {

using base::Angle;
using geometry::Vec3;

namespace {

// Handles of what every file holds; entities and layers are numbered above them.
constexpr unsigned kModelRecord = 0x20;
constexpr unsigned kPaperRecord = 0x21;

std::string group(int code, std::string_view value) {
  return fmt::format("{:>3}\n{}\n", code, value);
}
std::string group(int code, int value) { return fmt::format("{:>3}\n{}\n", code, value); }
std::string handle(int code, unsigned value) { return fmt::format("{:>3}\n{:X}\n", code, value); }

std::string number(int code, double value) {
  // Readers of old expect a decimal point in every number that may have one.
  std::string text = base::print_number(tidied(value));
  if (text.find_first_of(".e") == std::string::npos) text += ".0";
  return group(code, text);
}

std::string point(int code, const Vec3& p_mm) {
  return number(code, p_mm.x()) + number(code + 10, p_mm.y()) + number(code + 20, p_mm.z());
}

// One line; what is not ASCII as \U+XXXX, as this release writes it.
std::string plain(std::string_view text) {
  std::string out;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const auto byte = static_cast<unsigned char>(text[i]);
    const int length = byte < 0x80 ? 1 : byte < 0xE0 ? 2 : byte < 0xF0 ? 3 : 4;
    if (length == 1) {
      out += byte < 0x20 ? ' ' : text[i];
      continue;
    }
    unsigned code = byte & (0xFFu >> (length + 1));
    for (int k = 1; k < length && i + 1 < text.size(); ++k) {
      code = (code << 6) | (static_cast<unsigned char>(text[++i]) & 0x3Fu);
    }
    out += code < 0x10000 ? fmt::format("\\U+{:04X}", code) : std::string("?");
  }
  return out;
}

std::string table_start(const char* name, unsigned own, int count) {
  return group(0, "TABLE") + group(2, name) + handle(5, own) + handle(330, 0) +
         group(100, "AcDbSymbolTable") + group(70, count);
}

std::string record_start(const char* type, unsigned own, unsigned owner, const char* subclass,
                         std::string_view name) {
  return group(0, type) + handle(std::string_view(type) == "DIMSTYLE" ? 105 : 5, own) +
         handle(330, owner) + group(100, "AcDbSymbolTableRecord") + group(100, subclass) +
         group(2, name) + group(70, 0);
}

std::string line_type(unsigned own, const char* name, const char* words,
                      const std::vector<double>& dashes) {
  double total = 0.0;
  for (const double dash : dashes) total += std::abs(dash);
  std::string out = record_start("LTYPE", own, 0x5, "AcDbLinetypeTableRecord", name) +
                    group(3, words) + group(72, 65) + group(73, static_cast<int>(dashes.size())) +
                    number(40, total);
  for (const double dash : dashes) out += number(49, dash) + group(74, 0);
  return out;
}

std::string block(const char* name, unsigned record, unsigned own) {
  return group(0, "BLOCK") + handle(5, own) + handle(330, record) + group(100, "AcDbEntity") +
         group(8, "0") + group(100, "AcDbBlockBegin") + group(2, name) + group(70, 0) +
         point(10, Vec3::Zero()) + group(3, name) + group(1, "") + group(0, "ENDBLK") +
         handle(5, own + 1) + handle(330, record) + group(100, "AcDbEntity") + group(8, "0") +
         group(100, "AcDbBlockEnd");
}

std::string section(const char* name, const std::string& inside) {
  return group(0, "SECTION") + group(2, name) + inside + group(0, "ENDSEC");
}

std::string objects() {
  return group(0, "DICTIONARY") + handle(5, 0xC) + handle(330, 0) + group(100, "AcDbDictionary") +
         group(281, 1) + group(3, "ACAD_GROUP") + handle(350, 0xD) + group(0, "DICTIONARY") +
         handle(5, 0xD) + handle(330, 0xC) + group(100, "AcDbDictionary") + group(281, 1);
}

}  // namespace

std::string DxfDocument::next_handle() { return fmt::format("{:X}", next_handle_++); }

void DxfDocument::begin(const char* type, const char* subclass, std::string_view layer) {
  entities_ += group(0, type) + group(5, next_handle()) + handle(330, kModelRecord) +
               group(100, "AcDbEntity") + group(8, layer) + group(100, subclass);
}

void DxfDocument::line(std::string_view layer, const Vec3& a_mm, const Vec3& b_mm) {
  begin("LINE", "AcDbLine", layer);
  entities_ += point(10, a_mm) + point(11, b_mm);
}

void DxfDocument::arc(std::string_view layer, const Vec3& centre_mm, const Vec3& nhat_axis,
                      const Vec3& start_mm, Angle angle) {
  const Eigen::Matrix3d axes = ocs_axes(nhat_axis);
  const Vec3 arm = axes.transpose() * (start_mm - centre_mm);
  const Angle from = Angle::radians(std::atan2(arm.y(), arm.x())).wrapped_positive();
  begin("ARC", "AcDbCircle", layer);
  entities_ += point(10, axes.transpose() * centre_mm) + number(40, arm.norm());
  if (!axes.isIdentity(0.0)) {
    // To the last digit: the reader's axes, and with them every coordinate, hang on it.
    for (int i = 0; i < 3; ++i) {
      entities_ += group(210 + 10 * i, base::print_number(nhat_axis[i]));
    }
  }
  entities_ += group(100, "AcDbArc") + number(50, from.deg()) +
               number(51, (from + angle).wrapped_positive().deg());
}

void DxfDocument::polyline(std::string_view layer, const std::vector<Eigen::Vector2d>& points_mm,
                           bool closed) {
  begin("LWPOLYLINE", "AcDbPolyline", layer);
  entities_ += group(90, static_cast<int>(points_mm.size())) + group(70, closed ? 1 : 0);
  for (const Eigen::Vector2d& p_mm : points_mm) {
    entities_ += number(10, p_mm.x()) + number(20, p_mm.y());
  }
}

void DxfDocument::text(std::string_view layer, const Eigen::Vector2d& at_mm, double height_mm,
                       std::string_view text) {
  begin("TEXT", "AcDbText", layer);
  entities_ += point(10, {at_mm.x(), at_mm.y(), 0.0}) + number(40, height_mm) +
               group(1, plain(text)) + group(100, "AcDbText");
}

std::string DxfDocument::tables() const {
  const std::string end = group(0, "ENDTAB");
  std::string out = table_start("VPORT", 0x8, 1) +
                    record_start("VPORT", 0x30, 0x8, "AcDbViewportTableRecord", "*Active") +
                    number(10, 0) + number(20, 0) + number(11, 1) + number(21, 1) + number(12, 0) +
                    number(22, 0) + number(40, 1000) + number(41, 1.5) + end;
  out += table_start("LTYPE", 0x5, 4) + line_type(0x14, "ByBlock", "", {}) +
         line_type(0x15, "ByLayer", "", {}) + line_type(0x16, "Continuous", "Solid line", {}) +
         line_type(0x17, "CENTER", "Center ____ _ ____ _ ____", {31.75, -6.35, 6.35, -6.35}) + end;
  out += table_start("LAYER", 0x2, static_cast<int>(layers_.size()) + 1) +
         record_start("LAYER", 0x40, 0x2, "AcDbLayerTableRecord", "0") + group(62, 7) +
         group(6, "Continuous") + group(370, -3) + handle(390, 0xF);
  unsigned own = 0x41;
  for (const Layer& layer : layers_) {
    out += record_start("LAYER", own++, 0x2, "AcDbLayerTableRecord", layer.name) +
           group(62, layer.colour) + group(6, layer.centreline ? "CENTER" : "Continuous") +
           group(370, -3) + handle(390, 0xF);
  }
  out += end;
  out += table_start("STYLE", 0x3, 1) +
         record_start("STYLE", 0x18, 0x3, "AcDbTextStyleTableRecord", "Standard") + number(40, 0) +
         number(41, 1) + number(50, 0) + group(71, 0) + number(42, 2.5) + group(3, "txt") +
         group(4, "") + end;
  out += table_start("VIEW", 0x6, 0) + end + table_start("UCS", 0x7, 0) + end;
  out += table_start("APPID", 0x9, 1) +
         record_start("APPID", 0x12, 0x9, "AcDbRegAppTableRecord", "ACAD") + end;
  out += table_start("DIMSTYLE", 0xA, 1) + group(100, "AcDbDimStyleTable") + group(71, 0) +
         record_start("DIMSTYLE", 0x19, 0xA, "AcDbDimStyleTableRecord", "Standard") + end;
  out += table_start("BLOCK_RECORD", 0x1, 2);
  for (const auto& [record, name] :
       {std::pair{kModelRecord, "*Model_Space"}, {kPaperRecord, "*Paper_Space"}}) {
    out += group(0, "BLOCK_RECORD") + handle(5, record) + handle(330, 0x1) +
           group(100, "AcDbSymbolTableRecord") + group(100, "AcDbBlockTableRecord") +
           group(2, name) + handle(340, 0);
  }
  return out + end;
}

std::string DxfDocument::bytes() const {
  const std::string header = group(9, "$ACADVER") + group(1, "AC1015") + group(9, "$DWGCODEPAGE") +
                             group(3, "ANSI_1252") + group(9, "$HANDSEED") +
                             handle(5, next_handle_) + group(9, "$INSUNITS") + group(70, 4) +
                             group(9, "$MEASUREMENT") + group(70, 1);
  return section("HEADER", header) + section("CLASSES", "") + section("TABLES", tables()) +
         section("BLOCKS", block("*Model_Space", kModelRecord, 0x22) +
                               block("*Paper_Space", kPaperRecord, 0x24)) +
         section("ENTITIES", entities_) + section("OBJECTS", objects()) + group(0, "EOF");
}

}  // namespace bight::exchange
