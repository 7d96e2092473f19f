#include "exchange/step_reading.h"

#include <Eigen/Geometry>
#include <cmath>
#include <nlohmann/json.hpp>
#include <optional>
#include <set>
#include <string_view>

namespace bight::exchange {

using base::Angle;
using base::Failure;
using geometry::Vec3;
using nlohmann::json;

namespace {

json vector_json(const Vec3& v) { return json::array({v.x(), v.y(), v.z()}); }

std::string_view section_word(stock::SectionKind kind) {
  switch (kind) {
    case stock::SectionKind::kRoundTube:
      return "round-tube";
    case stock::SectionKind::kRoundBar:
      return "round-bar";
    case stock::SectionKind::kRectTube:
      return "rect-tube";
    case stock::SectionKind::kRectBar:
      return "rect-bar";
    case stock::SectionKind::kAngle:
    case stock::SectionKind::kChannel:
      break;  // nothing bent from these is read
  }
  return "";
}

json end_json(const StepEnd& end) {
  return {{"cut", word(end.cut)},
          {"mitre_rad", end.mitre.rad()},
          {"longest_mm", end.longest_mm},
          {"shortest_mm", end.shortest_mm},
          {"cut_radius_mm", end.cut_radius_mm}};
}

json finding_json(const part::Finding& finding) {
  return {{"severity", part::word(finding.severity)},
          {"code", finding.code},
          {"bend", finding.bend ? json(*finding.bend) : json(nullptr)},
          {"message", finding.message},
          {"remedy", finding.remedy},
          {"source", finding.source},
          {"numbers", finding.numbers}};
}

json table_json(const geometry::BendTable& table) {
  json rows = json::array();
  for (const geometry::BendRow& row : table.rows()) {
    rows.push_back({{"straight_mm", row.straight_mm},
                    {"rotation_rad", row.rotation.rad()},
                    {"angle_rad", row.angle.rad()},
                    {"radius_mm", row.radius_mm}});
  }
  return {{"rows", rows}, {"last_straight_mm", table.last_straight_mm()}};
}

// Takes fields out of one JSON object and remembers the first thing that was not as agreed.
class AnswerKeys {
 public:
  AnswerKeys(const json& object, std::string path, std::string& wrong)
      : object_(object), path_(std::move(path)), wrong_(wrong) {
    if (!object_.is_object()) complain("is not an object");
  }
  // Every field must have been asked for.
  ~AnswerKeys() {
    if (!object_.is_object()) return;
    for (const auto& item : object_.items()) {
      if (!asked_.contains(item.key())) complain("has the unknown field " + item.key());
    }
  }
  AnswerKeys(const AnswerKeys&) = delete;
  AnswerKeys& operator=(const AnswerKeys&) = delete;

  double number(const char* key) {
    const json& value = take(key);
    if (!value.is_number() || !std::isfinite(value.get<double>())) {
      complain(std::string(key) + " is not a number");
      return 0.0;
    }
    return value.get<double>();
  }
  std::size_t count(const char* key) {
    const json& value = take(key);
    if (!value.is_number_unsigned()) {
      complain(std::string(key) + " is not a count");
      return 0;
    }
    return value.get<std::size_t>();
  }
  std::string text(const char* key) {
    const json& value = take(key);
    if (!value.is_string()) {
      complain(std::string(key) + " is not a text");
      return {};
    }
    return value.get<std::string>();
  }
  bool flag(const char* key) {
    const json& value = take(key);
    if (!value.is_boolean()) complain(std::string(key) + " is neither true nor false");
    return value.is_boolean() && value.get<bool>();
  }
  const json& list(const char* key) {
    static const json kEmpty = json::array();
    const json& value = take(key);
    if (value.is_array()) return value;
    complain(std::string(key) + " is not a list");
    return kEmpty;
  }
  Vec3 vector(const char* key) {
    const json& value = list(key);
    Vec3 v = Vec3::Zero();
    if (value.size() != 3) complain(std::string(key) + " is not three numbers");
    for (int i = 0; i < 3 && value.size() == 3; ++i) {
      const json& entry = value[static_cast<std::size_t>(i)];
      if (!entry.is_number() || !std::isfinite(entry.get<double>())) {
        complain(std::string(key) + " is not three numbers");
        break;
      }
      v[i] = entry.get<double>();
    }
    return v;
  }
  const json& take(const char* key) {
    static const json kNothing;
    asked_.insert(key);
    if (object_.is_object()) {
      if (const auto found = object_.find(key); found != object_.end()) return *found;
    }
    complain(std::string(key) + " is missing");
    return kNothing;
  }
  void complain(const std::string& what) {
    if (wrong_.empty()) wrong_ = path_ + ": " + what;
  }

 private:
  const json& object_;
  std::string path_;
  std::string& wrong_;
  std::set<std::string, std::less<>> asked_;
};

Failure bad_answer(std::string what) {
  return {"step.answer", "bight-reader", "the reader's answer is not as agreed: " + what,
          "install the bight-reader that belongs to this program"};
}

base::Result<stock::Section> section_from(const json& object, std::string& wrong) {
  AnswerKeys fields(object, "section", wrong);
  const std::string kind = fields.text("kind");
  const double height_mm = fields.number("height_mm");
  const double width_mm = fields.number("width_mm");
  const double wall_mm = fields.number("wall_mm");
  const double corner_mm = fields.number("corner_radius_mm");
  if (kind == "round-tube") return stock::Section::round_tube(height_mm, wall_mm);
  if (kind == "round-bar") return stock::Section::round_bar(height_mm);
  if (kind == "rect-tube") {
    return stock::Section::rect_tube(height_mm, width_mm, wall_mm, corner_mm);
  }
  if (kind == "rect-bar") return stock::Section::rect_bar(height_mm, width_mm);
  return bad_answer("section: no kind '" + kind + "'");
}

base::Result<geometry::BendTable> table_from(const json& object, std::string& wrong) {
  AnswerKeys fields(object, "table", wrong);
  std::vector<geometry::BendRow> rows;
  for (const json& entry : fields.list("rows")) {
    AnswerKeys row(entry, "row " + std::to_string(rows.size() + 1), wrong);
    rows.push_back({row.number("straight_mm"), Angle::radians(row.number("rotation_rad")),
                    Angle::radians(row.number("angle_rad")), row.number("radius_mm")});
  }
  return geometry::BendTable::make(std::move(rows), fields.number("last_straight_mm"));
}

geometry::Frame start_from(const json& object, std::string& wrong) {
  AnswerKeys fields(object, "start", wrong);
  const geometry::Frame start{fields.vector("origin_mm"), fields.vector("ahead"),
                              fields.vector("inward"), fields.vector("normal")};
  const bool square = std::abs(start.ahead.norm() - 1.0) < 1e-9 &&
                      std::abs(start.inward.norm() - 1.0) < 1e-9 &&
                      std::abs(start.ahead.dot(start.inward)) < 1e-9 &&
                      (start.ahead.cross(start.inward) - start.normal).norm() < 1e-9;
  if (!square) fields.complain("is not a frame");
  return start;
}

StepEnd end_from(const json& object, const char* path, std::string& wrong) {
  AnswerKeys fields(object, path, wrong);
  StepEnd end;
  const std::string cut = fields.text("cut");
  bool known = false;
  for (const EndCut candidate : {EndCut::kSquare, EndCut::kMitre, EndCut::kCoped}) {
    if (cut != word(candidate)) continue;
    end.cut = candidate;
    known = true;
  }
  if (!known) fields.complain("has an unknown cut");
  end.mitre = Angle::radians(fields.number("mitre_rad"));
  end.longest_mm = fields.number("longest_mm");
  end.shortest_mm = fields.number("shortest_mm");
  end.cut_radius_mm = fields.number("cut_radius_mm");
  return end;
}

part::Finding finding_from(const json& object, std::string& wrong) {
  AnswerKeys fields(object, "finding", wrong);
  part::Finding finding;
  const std::string severity = fields.text("severity");
  bool known = false;
  for (const part::Severity candidate :
       {part::Severity::kNote, part::Severity::kCaution, part::Severity::kStop}) {
    if (severity != part::word(candidate)) continue;
    finding.severity = candidate;
    known = true;
  }
  if (!known) fields.complain("has an unknown severity");
  finding.code = fields.text("code");
  if (!fields.take("bend").is_null()) finding.bend = fields.count("bend");
  finding.message = fields.text("message");
  finding.remedy = fields.text("remedy");
  finding.source = fields.text("source");
  const json& numbers = fields.take("numbers");
  if (!numbers.is_object()) {
    fields.complain("numbers is not an object");
    return finding;
  }
  for (const auto& item : numbers.items()) {
    const bool fits = item.value().is_number() && std::isfinite(item.value().get<double>());
    if (!fits) fields.complain(item.key() + " is not a number");
    finding.numbers[item.key()] = fits ? item.value().get<double>() : 0.0;
  }
  return finding;
}

base::Result<StepReading> reading_from(const json& object) {
  std::string wrong;
  std::optional<base::Result<StepReading>> result;
  {
    AnswerKeys fields(object, "reading", wrong);
    auto section = section_from(fields.take("section"), wrong);
    auto table = table_from(fields.take("table"), wrong);
    const geometry::Frame start = start_from(fields.take("start"), wrong);
    const StepEnd end_a = end_from(fields.take("end_a"), "end_a", wrong);
    const StepEnd end_b = end_from(fields.take("end_b"), "end_b", wrong);
    const double max_mm = fields.number("deviation_max_mm");
    const double rms_mm = fields.number("deviation_rms_mm");
    const std::size_t num_sampled = fields.count("num_sampled");
    std::vector<part::Finding> findings;
    for (const json& entry : fields.list("findings")) {
      findings.push_back(finding_from(entry, wrong));
    }
    const std::string name = fields.text("name");
    const std::string unit = fields.text("unit");
    const std::string schema = fields.text("schema");
    const bool skin_only = fields.flag("skin_only");
    if (!wrong.empty()) return bad_answer(wrong);
    if (!section.ok()) return bad_answer(section.failure().text());
    if (!table.ok()) return bad_answer(table.failure().text());
    result = StepReading{*section,    *table,   start, end_a, end_b,  max_mm,   rms_mm,
                         num_sampled, findings, name,  unit,  schema, skin_only};
  }
  if (!wrong.empty()) return bad_answer(wrong);
  return *result;
}

base::Result<StepReading> failure_from(const json& object) {
  std::string wrong;
  Failure failure;
  {
    AnswerKeys fields(object, "failure", wrong);
    failure = {fields.text("code"), fields.text("where"), fields.text("message"),
               fields.text("remedy")};
    // The helper speaks of what it read, never of the sandbox round it.
    if (failure.code.rfind("step.", 0) != 0) fields.complain("has an unknown code");
  }
  if (!wrong.empty()) return bad_answer(wrong);
  return failure;
}

}  // namespace

std::string_view word(EndCut cut) {
  switch (cut) {
    case EndCut::kSquare:
      return "square";
    case EndCut::kMitre:
      return "mitre";
    case EndCut::kCoped:
      return "coped";
  }
  return "";
}

std::string to_json(const StepReading& reading) {
  json findings = json::array();
  for (const part::Finding& finding : reading.findings) findings.push_back(finding_json(finding));
  const stock::Section& section = reading.section;
  const json document = {{"reading",
                          {{"section",
                            {{"kind", section_word(section.kind())},
                             {"height_mm", section.height_mm()},
                             {"width_mm", section.width_mm()},
                             {"wall_mm", section.wall_mm()},
                             {"corner_radius_mm", section.corner_radius_mm()}}},
                           {"table", table_json(reading.table)},
                           {"start",
                            {{"origin_mm", vector_json(reading.start.origin_mm)},
                             {"ahead", vector_json(reading.start.ahead)},
                             {"inward", vector_json(reading.start.inward)},
                             {"normal", vector_json(reading.start.normal)}}},
                           {"end_a", end_json(reading.end_a)},
                           {"end_b", end_json(reading.end_b)},
                           {"deviation_max_mm", reading.deviation_max_mm},
                           {"deviation_rms_mm", reading.deviation_rms_mm},
                           {"num_sampled", reading.num_sampled},
                           {"findings", findings},
                           {"name", reading.name},
                           {"unit", reading.unit},
                           {"schema", reading.schema},
                           {"skin_only", reading.skin_only}}}};
  // Names in files need not be UTF-8: what is not becomes the replacement character.
  return document.dump(-1, ' ', false, json::error_handler_t::replace);
}

std::string to_json(const Failure& failure) {
  const json document = {{"failure",
                          {{"code", failure.code},
                           {"where", failure.where},
                           {"message", failure.message},
                           {"remedy", failure.remedy}}}};
  return document.dump(-1, ' ', false, json::error_handler_t::replace);
}

base::Result<StepReading> step_from_json(const std::string& text) {
  const json document = json::parse(text, nullptr, /*allow_exceptions=*/false);
  if (!document.is_object() || document.size() != 1) return bad_answer("it is not one JSON object");
  if (const auto found = document.find("reading"); found != document.end()) {
    return reading_from(*found);
  }
  if (const auto found = document.find("failure"); found != document.end()) {
    return failure_from(*found);
  }
  return bad_answer("it holds neither a reading nor a failure");
}

base::Result<StepReading> read_step(const std::string& path, const StepOptions& options) {
  std::vector<std::string> arguments;
  if (options.swap_ends) arguments.emplace_back("swap-ends");
  BIGHT_TRY(const std::string answer, run_reader("step", path, options.limits, arguments));
  auto reading = step_from_json(answer);
  if (reading.ok()) return reading;
  Failure failure = reading.failure();
  failure.where = failure.where.empty() ? path : path + ": " + failure.where;
  return failure;
}

}  // namespace bight::exchange
