#include "geometry/bend_table.h"

#include <fmt/format.h>

#include <cmath>
#include <numbers>

namespace bight::geometry {

using base::Angle;
using base::Failure;

namespace {

// Below this a row does not bend at all: 1e-9° moves the end of a 10 m leg by 2e-7 mm.
constexpr double kNoBend_rad = 1e-9 * std::numbers::pi / 180.0;

base::Status check_row(const BendRow& row, std::size_t index) {
  const std::string where = fmt::format("bend {}", index + 1);
  for (const double number :
       {row.straight_mm, row.rotation.rad(), row.angle.rad(), row.radius_mm}) {
    if (!std::isfinite(number)) {
      return Failure{"table.number", where, "a number is missing or not finite",
                     "give straight, rotation, angle and radius as numbers"};
    }
  }
  if (std::abs(row.angle.rad()) >= 2.0 * std::numbers::pi) {
    return Failure{"table.angle", where,
                   fmt::format("a bend of {:.6g}° is a full turn or more", row.angle.deg()),
                   "split it into bends below 360°"};
  }
  if (std::abs(row.angle.rad()) > kNoBend_rad && row.radius_mm <= 0.0) {
    return Failure{"table.radius", where,
                   fmt::format("a radius of {:.6g} mm cannot be bent", row.radius_mm),
                   "give a centreline radius above zero"};
  }
  return base::Done{};
}

void note(std::vector<TableNote>* notes, const char* code, std::size_t row, std::string message) {
  if (notes != nullptr) notes->push_back({code, row, std::move(message)});
}

}  // namespace

base::Result<BendTable> BendTable::make(std::vector<BendRow> rows, double last_straight_mm,
                                        std::vector<TableNote>* notes) {
  if (!std::isfinite(last_straight_mm)) {
    return Failure{"table.number", "last straight", "the last straight is missing or not finite",
                   "give its length"};
  }
  std::vector<BendRow> tidy;
  double carried_mm = 0.0;  // straight of rows that do not bend
  Angle carried;            // their rotation, and the half turns of negative angles
  for (std::size_t i = 0; i < rows.size(); ++i) {
    BendRow row = rows[i];
    BIGHT_TRY(base::Done checked, check_row(row, i));
    static_cast<void>(checked);
    row.straight_mm += carried_mm;
    row.rotation = row.rotation + carried;
    carried_mm = 0.0;
    carried = Angle();
    if (std::abs(row.angle.rad()) <= kNoBend_rad) {
      note(notes, "table.no-bend", i,
           fmt::format("row {} does not bend; its straight was added to the next", i + 1));
      carried_mm = row.straight_mm;
      carried = row.rotation;
      continue;
    }
    if (row.angle < Angle()) {
      note(notes, "table.negative-angle", i,
           fmt::format("bend {} of {:.6g}° is kept as {:.6g}° with its plane turned by 180°", i + 1,
                       row.angle.deg(), -row.angle.deg()));
      row.angle = -row.angle;
      row.rotation = row.rotation + Angle::degrees(180);
      carried = Angle::degrees(-180);
    }
    row.rotation = row.rotation.wrapped();
    if (tidy.empty() && row.rotation != Angle()) {
      note(notes, "table.first-rotation", i,
           fmt::format("the first bend's rotation of {:.6g}° only turns the whole part and was "
                       "set to 0",
                       row.rotation.deg()));
      row.rotation = Angle();
    }
    tidy.push_back(row);
  }
  last_straight_mm += carried_mm;
  if (tidy.empty() && last_straight_mm <= 0.0) {
    return Failure{"table.empty", "", "the part has neither length nor bends",
                   "give at least one straight"};
  }
  return BendTable(std::move(tidy), last_straight_mm);
}

double BendTable::developed_length_mm() const {
  double length_mm = last_straight_mm_;
  for (const BendRow& row : rows_) length_mm += row.straight_mm + row.arc_mm();
  return length_mm;
}

Angle BendTable::total_bend() const {
  Angle total;
  for (const BendRow& row : rows_) total = total + row.angle;
  return total;
}

std::vector<Angle> BendTable::absolute_rotations() const {
  std::vector<Angle> absolute;
  Angle plane;
  for (const BendRow& row : rows_) {
    plane = plane + row.rotation;
    absolute.push_back(plane.wrapped_positive());
  }
  return absolute;
}

BendTable BendTable::reversed() const {
  const std::size_t n = rows_.size();
  std::vector<BendRow> rows(n);
  for (std::size_t i = 0; i < n; ++i) {
    const BendRow& same_bend = rows_[n - 1 - i];
    rows[i] = same_bend;
    rows[i].straight_mm = straight_mm(n - i);
    rows[i].rotation = i == 0 ? Angle() : rows_[n - i].rotation;
  }
  return BendTable(std::move(rows), straight_mm(0));
}

BendTable BendTable::mirrored() const {
  std::vector<BendRow> rows = rows_;
  for (BendRow& row : rows) {
    // -180° and 180° are one plane; keep the one inside our range.
    row.rotation = row.rotation == Angle::degrees(180) ? row.rotation : -row.rotation;
    if (row.rotation == Angle()) row.rotation = Angle();  // no minus zero
  }
  return BendTable(std::move(rows), last_straight_mm_);
}

bool operator==(const BendTable& a, const BendTable& b) {
  if (a.rows_.size() != b.rows_.size() || a.last_straight_mm_ != b.last_straight_mm_) return false;
  for (std::size_t i = 0; i < a.rows_.size(); ++i) {
    const BendRow& p = a.rows_[i];
    const BendRow& q = b.rows_[i];
    if (p.straight_mm != q.straight_mm || p.rotation != q.rotation || p.angle != q.angle ||
        p.radius_mm != q.radius_mm) {
      return false;
    }
  }
  return true;
}

std::vector<Overlap> overlaps(const BendTable& table, double tolerance_mm) {
  std::vector<Overlap> found;
  for (std::size_t i = 0; i <= table.num_bends(); ++i) {
    if (table.straight_mm(i) < -tolerance_mm) found.push_back({i, -table.straight_mm(i)});
  }
  return found;
}

BendTable merged_arcs(const BendTable& table) {
  constexpr double kTouching_mm = 1e-6;
  const Angle kSamePlane = Angle::degrees(1e-6);
  std::vector<BendRow> rows;
  for (const BendRow& row : table.rows()) {
    const bool meets = !rows.empty() && std::abs(row.straight_mm) <= kTouching_mm &&
                       std::abs(row.rotation.rad()) <= kSamePlane.rad() &&
                       std::abs(row.radius_mm - rows.back().radius_mm) <= 1e-9 * row.radius_mm &&
                       rows.back().angle + row.angle < Angle::degrees(360);
    if (meets) {
      rows.back().angle = rows.back().angle + row.angle;
    } else {
      rows.push_back(row);
    }
  }
  base::Result<BendTable> merged = BendTable::make(std::move(rows), table.last_straight_mm());
  BIGHT_CHECK(merged.ok());
  return std::move(merged).value();
}

}  // namespace bight::geometry
