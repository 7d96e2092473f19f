#include "exchange/table_json.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>

#include "base/angle_text.h"
#include "base/length.h"
#include "exchange/exact_text.h"
#include "exchange/part_toml.h"
#include "exchange/table_bends.h"
#include "exchange/table_write.h"
#include "exchange/text_file.h"
#include "geometry/corners.h"

namespace bight::exchange {

using base::Angle;
using base::Failure;
using base::Result;
using geometry::BendRow;
using geometry::BendTable;
using geometry::Vec3;
using nlohmann::json;
using nlohmann::ordered_json;

namespace {

ordered_json axis_of_json(const Vec3& v) { return {v.x(), v.y(), v.z()}; }

bool is_default(const geometry::Frame& start) {
  const geometry::Frame origin;
  return start.origin_mm == origin.origin_mm && start.ahead == origin.ahead &&
         start.inward == origin.inward;
}

}  // namespace

ordered_json bends_json(const Line& line, const std::string& name) {
  ordered_json out = {{"schema", 1}, {"table", "bends"}};
  if (!name.empty()) out["name"] = name;
  out["bends"] = ordered_json::array();
  for (const BendRow& row : line.table.rows()) {
    out["bends"].push_back({{"straight_mm", row.straight_mm},
                            {"rotation_deg", exact_deg(row.rotation)},
                            {"angle_deg", exact_deg(row.angle)},
                            {"radius_mm", row.radius_mm}});
  }
  out["last_straight_mm"] = line.table.last_straight_mm();
  if (line.radii_are_die) out["radius_is"] = "die";
  if (!is_default(line.start)) {
    out["start"] = {{"at_mm", axis_of_json(line.start.origin_mm)},
                    {"ahead", axis_of_json(line.start.ahead)},
                    {"inward", axis_of_json(line.start.inward)}};
  }
  return out;
}

ordered_json corners_json(const Line& line, const std::string& name) {
  ordered_json out = {{"schema", 1}, {"table", "corners"}};
  if (!name.empty()) out["name"] = name;
  out["corners"] = ordered_json::array();
  for (const Corner& c : corners_of(line.table, line.start)) {
    out["corners"].push_back(
        {{"x_mm", c.p_mm.x()},
         {"y_mm", c.p_mm.y()},
         {"z_mm", c.p_mm.z()},
         {"radius_mm", c.radius_mm ? ordered_json(*c.radius_mm) : ordered_json(nullptr)}});
  }
  return out;
}

namespace {

// One object being read; the first thing wrong is kept.
class JsonKeys {
 public:
  JsonKeys(const json& object, std::string where) : object_(object), where_(std::move(where)) {}

  const json* get(const char* key, bool needed = true) {
    asked_.emplace_back(key);
    const auto found = object_.find(key);
    if (found != object_.end()) return &*found;
    if (needed) fail("json.key", key, "this key is missing", "the schema lists what is needed");
    return nullptr;
  }

  double number(const json& value, const std::string& key, double largest) {
    if (!value.is_number()) {
      fail("json.value", key, fmt::format("{} is no number", shown(value)), "give a plain number");
      return 0.0;
    }
    const double number = value.get<double>();
    if (std::isfinite(number) && std::abs(number) <= largest) return number;
    fail("json.value", key, fmt::format("{} cannot be", shown(value)),
         fmt::format("at most {:g}", largest));
    return 0.0;
  }

  double number(const char* key, double largest) {
    const json* value = get(key);
    return value == nullptr ? 0.0 : number(*value, key, largest);
  }

  Vec3 vector(const char* key, double largest) {
    const json* value = get(key);
    Vec3 v = Vec3::Zero();
    if (value == nullptr) return v;
    if (!value->is_array() || value->size() != 3) {
      fail("json.value", key, "this is not a list of three numbers", "such as [0, 0, 1]");
      return v;
    }
    for (std::size_t i = 0; i < 3; ++i) {
      v[static_cast<Eigen::Index>(i)] = number((*value)[i], key, largest);
    }
    return v;
  }

  void fail(const char* code, const std::string& key, std::string message, std::string remedy) {
    if (failure_) return;
    failure_ = Failure{code, where_ + ": " + key, std::move(message), std::move(remedy)};
  }

  // Also complains about keys never asked for.
  std::optional<Failure> failure() {
    for (const auto& [key, value] : object_.items()) {
      if (std::find(asked_.begin(), asked_.end(), key) == asked_.end()) {
        fail("json.key", key, "this key is not known here",
             fmt::format("one of: {}", fmt::join(asked_, ", ")));
      }
    }
    return failure_;
  }

  static std::string shown(const json& value) {
    const std::string text = value.dump(-1, ' ', true, json::error_handler_t::replace);
    return text.size() <= 40 ? text : text.substr(0, 37) + "...";
  }

 private:
  const json& object_;
  std::string where_;
  std::vector<std::string> asked_;
  std::optional<Failure> failure_;
};

// The list under the key; every item an object. Empty after a failure.
std::vector<const json*> objects_at(JsonKeys& f, const char* key) {
  const json* list = f.get(key);
  std::vector<const json*> out;
  if (list == nullptr) return out;
  if (!list->is_array()) {
    f.fail("json.value", key, "this is no list", "give a list in square brackets");
    return out;
  }
  if (list->size() > kMostBends + 2) {
    f.fail("table.many", key,
           fmt::format("{} rows are more than a bent part has (at most {} bends)", list->size(),
                       kMostBends),
           "a traced curve must first be turned into straights and arcs");
    return out;
  }
  for (const json& item : *list) {
    if (!item.is_object()) {
      f.fail("json.value", key, fmt::format("{} is no row", JsonKeys::shown(item)),
             "give every row in curly brackets");
      return {};
    }
    out.push_back(&item);
  }
  return out;
}

std::optional<Failure> line_start_from(JsonKeys& f, const std::string& file, Line& line) {
  const json* start = f.get("start", false);
  if (start == nullptr) return std::nullopt;
  if (!start->is_object()) {
    return Failure{"json.value", file + ": start", "this is no place", "give at_mm, ahead, inward"};
  }
  JsonKeys s(*start, file + ": start");
  const Vec3 origin_mm = s.vector("at_mm", base::kLongestLength_mm);
  const Vec3 ahead = s.vector("ahead", 1.0 + 1e-9);
  const Vec3 inward = s.vector("inward", 1.0 + 1e-9);
  const bool square = std::abs(ahead.norm() - 1.0) < 1e-9 && std::abs(inward.norm() - 1.0) < 1e-9 &&
                      std::abs(ahead.dot(inward)) < 1e-9;
  if (!square) {
    s.fail("json.value", "ahead", "ahead and inward are not two unit directions square to another",
           "such as [1, 0, 0] and [0, 1, 0]");
  }
  line.start = {origin_mm, ahead, inward, ahead.cross(inward)};
  return s.failure();
}

Result<LineReading> bends_from(JsonKeys& f, const std::string& file, LineReading reading) {
  std::vector<BendRow> rows;
  const std::vector<const json*> items = objects_at(f, "bends");
  for (std::size_t i = 0; i < items.size(); ++i) {
    JsonKeys row(*items[i], fmt::format("{}: bends[{}]", file, i + 1));
    rows.push_back({row.number("straight_mm", base::kLongestLength_mm),
                    Angle::degrees(row.number("rotation_deg", base::kLargestAngle_deg)),
                    Angle::degrees(row.number("angle_deg", base::kLargestAngle_deg)),
                    row.number("radius_mm", base::kLongestLength_mm)});
    if (const auto failure = row.failure()) return *failure;
  }
  const double last_mm = f.number("last_straight_mm", base::kLongestLength_mm);
  Line line{*BendTable::make({}, 1.0), geometry::Frame(), false, {}};
  if (const json* radius_is = f.get("radius_is", false)) {
    line.radii_are_die = *radius_is == "die";
    if (!line.radii_are_die && *radius_is != "part") {
      f.fail("json.value", "radius_is", "this is neither part nor die", "one of: part, die");
    }
  }
  if (const auto failure = line_start_from(f, file, line)) return *failure;
  if (const auto failure = f.failure()) return *failure;
  std::vector<geometry::TableNote> notes;
  Result<BendTable> table = BendTable::make(std::move(rows), last_mm, &notes);
  if (!table.ok()) {
    Failure failure = table.failure();
    failure.where = file + (failure.where.empty() ? "" : ", " + failure.where);
    return failure;
  }
  line.table = *table;
  for (const geometry::TableNote& note : notes) {
    line.findings.push_back(understood(note.code, note.message));
  }
  reading.line = std::move(line);
  return reading;
}

Result<LineReading> corners_from(JsonKeys& f, const std::string& file, const LineOptions& options,
                                 LineReading reading) {
  // A table of points with its radii is what a CSV gives, too: the same road from here on.
  std::vector<TableRow> rows;
  const std::vector<const json*> items = objects_at(f, "corners");
  for (std::size_t i = 0; i < items.size(); ++i) {
    JsonKeys row(*items[i], fmt::format("{}: corners[{}]", file, i + 1));
    TableRow& out = rows.emplace_back();
    out.line = i + 1;
    out.point_mm = {row.number("x_mm", base::kLongestLength_mm),
                    row.number("y_mm", base::kLongestLength_mm),
                    row.number("z_mm", base::kLongestLength_mm)};
    const json* radius = row.get("radius_mm", false);
    if (radius != nullptr && !radius->is_null()) {
      out.radius_mm = row.number(*radius, "radius_mm", base::kLongestLength_mm);
      if (*out.radius_mm <= 0.0) {
        row.fail("json.value", "radius_mm", "a radius is larger than zero", "null at the ends");
      }
    }
    if (const auto failure = row.failure()) return *failure;
  }
  if (const auto failure = f.failure()) return *failure;
  Asking asking(options.answers);
  TableLayout layout;
  BIGHT_TRY(reading.line, line_of_corners({file, layout, rows, options}, asking));
  reading.questions = asking.open();
  return reading;
}

}  // namespace

Result<LineReading> read_table_json(std::string_view text, const std::string& file,
                                    const LineOptions& options) {
  if (text.size() > kLargestTextFile_bytes) {
    return Failure{"json.size", file, "the text is larger than 1 MiB", "is this the right file?"};
  }
  const json document = json::parse(text, nullptr, false);
  if (document.is_discarded() || !document.is_object()) {
    return Failure{"json.syntax", file, "this is not a JSON object",
                   "docs/formats/bends.schema.json and corners.schema.json show what is read"};
  }
  JsonKeys f(document, file);
  const json* schema = f.get("schema");
  const json* table = f.get("table");
  LineReading reading;
  if (const json* name = f.get("name", false)) {
    if (name->is_string()) {
      reading.name = name->get<std::string>();
    } else {
      f.fail("json.value", "name", "this is no text", "put the name in double quotes");
    }
  }
  if (schema != nullptr && *schema != 1) {
    return Failure{
        "json.schema", file,
        fmt::format("this file says schema {}, this program reads 1", JsonKeys::shown(*schema)),
        "use a newer Bight, or write the file for schema 1"};
  }
  if (table != nullptr && *table == "bends") return bends_from(f, file, std::move(reading));
  if (table != nullptr && *table == "corners") {
    return corners_from(f, file, options, std::move(reading));
  }
  if (table == nullptr || schema == nullptr) {
    return Failure{"json.key", file, "schema or table is missing",
                   "a table starts with \"schema\": 1, \"table\": \"bends\" or \"corners\""};
  }
  return Failure{"json.schema", file,
                 fmt::format("{} is no table read here", JsonKeys::shown(*table)),
                 "\"bends\" or \"corners\""};
}

}  // namespace bight::exchange
