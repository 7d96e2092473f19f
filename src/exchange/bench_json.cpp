#include "exchange/bench_json.h"

#include <cmath>

#include "exchange/json_numbers.h"
#include "exchange/plan_json.h"

namespace bight::exchange {

using inspection::Agreement;
using inspection::Commanded;
using nlohmann::ordered_json;

namespace {

ordered_json finite_or_null(const std::optional<double>& value) {
  return value && std::isfinite(*value) ? ordered_json(tidy(*value)) : ordered_json(nullptr);
}

ordered_json errors_json(const inspection::ReadingError& error) {
  return {{"angle_deg", tidy(error.angle.deg())},
          {"rotation_deg", tidy(error.rotation.deg())},
          {"straight_mm", tidy(error.straight_mm)},
          {"point_mm", tidy(error.point_mm)}};
}

ordered_json program_json(const Commanded& program) {
  ordered_json rows = ordered_json::array();
  for (std::size_t i = 0; i < program.rows.size(); ++i) {
    const inspection::CommandedRow& row = program.rows[i];
    rows.push_back({{"bend", i + 1},
                    {"straight_mm", tidy(row.straight_mm)},
                    {"rotation_deg", tidy(row.rotation.deg())},
                    {"set_angle_deg", tidy(row.set.deg())}});
  }
  return {{"rows", rows}, {"last_straight_mm", tidy(program.last_straight_mm)}};
}

const char* entry_word(inspection::Entry entry) {
  if (entry == inspection::Entry::kStraight) return "straight";
  return entry == inspection::Entry::kRotation ? "rotation" : "set angle";
}

const char* left_word(inspection::Left left) {
  switch (left) {
    case inspection::Left::kUsed:
      return "corrected";
    case inspection::Left::kNotRead:
      return "not-read";
    case inspection::Left::kRight:
      return "right";
    case inspection::Left::kWeak:
      return "weak";
    case inspection::Left::kPattern:
      return "pattern";
  }
  return "not-read";
}

ordered_json change_json(const inspection::Change& change) {
  return {{"what", change.what},
          {"entry", entry_word(change.entry.entry)},
          {"bend", change.entry.index + 1},
          {"unit", change.unit},
          {"wanted", tidy(change.wanted)},
          {"measured", finite_or_null(change.measured)},
          {"error", tidy(change.error)},
          {"old", tidy(change.old_value)},
          {"new", tidy(change.new_value)},
          {"end_b_mm", tidy(change.end_b_mm)},
          {"state", left_word(change.left)},
          {"why", change.why}};
}

ordered_json findings_json(const std::vector<part::Finding>& findings) {
  ordered_json out = ordered_json::array();
  for (const part::Finding& finding : findings) out.push_back(finding_json(finding));
  return out;
}

ordered_json lines_json(const std::vector<inspection::Line>& lines) {
  ordered_json out = ordered_json::array();
  for (const inspection::Line& line : lines) {
    out.push_back({{"what", line.what},
                   {"unit", line.unit},
                   {"wanted", finite_or_null(line.wanted)},
                   {"measured", finite_or_null(line.measured)},
                   {"off", tidy(line.off)},
                   {"limit", finite_or_null(line.limit)},
                   {"error", tidy(line.error)},
                   {"verdict", inspection::word(line.verdict)}});
  }
  return out;
}

ordered_json laid_json(const inspection::Laid& laid) {
  const inspection::Deviation& deviation = laid.deviation;
  ordered_json points = ordered_json::array();
  for (const inspection::PointOff& point : deviation.points) {
    points.push_back(
        {{"name", point.name},
         {"off_mm", {tidy(point.off_mm.x()), tidy(point.off_mm.y()), tidy(point.off_mm.z())}},
         {"distance_mm", tidy(point.distance_mm)},
         {"along_mm", tidy(point.along_mm)}});
  }
  ordered_json turn = ordered_json::array();
  for (Eigen::Index row = 0; row < 3; ++row) {
    turn.push_back({tidy(deviation.move.turn(row, 0)), tidy(deviation.move.turn(row, 1)),
                    tidy(deviation.move.turn(row, 2))});
  }
  const geometry::Vec3& shift_mm = deviation.move.shift_mm;
  return {{"align", inspection::word(deviation.by)},
          {"words", inspection::words(deviation.by)},
          {"verdict", inspection::word(laid.verdict)},
          {"worst_mm", tidy(deviation.worst_mm)},
          {"zone_mm", finite_or_null(deviation.zone_mm)},
          {"at_least_mm", finite_or_null(deviation.at_least_mm)},
          {"turn_loose", deviation.turn_loose},
          {"turn", turn},
          {"shift_mm", {tidy(shift_mm.x()), tidy(shift_mm.y()), tidy(shift_mm.z())}},
          {"points", points},
          {"lines", lines_json(laid.lines)}};
}

ordered_json rule_json(const rules::RuleCheck& check) {
  return {{"rule", check.rule_id},      {"code", check.code},
          {"edition", check.edition},   {"clause", check.clause},
          {"title", check.title},       {"verdict", rules::word(check.verdict)},
          {"value", tidy(check.value)}, {"limit", tidy(check.limit)},
          {"unit", check.unit},         {"message", check.message},
          {"source", check.source},     {"notice", check.notice}};
}

ordered_json section_json(const inspection::SectionJudgement& section) {
  ordered_json roundness = nullptr;
  if (section.roundness) {
    roundness = {{"of_nominal", tidy(section.roundness->of_nominal_ratio)},
                 {"of_mean", tidy(section.roundness->of_mean_ratio)},
                 {"least_of_nominal", tidy(section.roundness->least_ratio)},
                 {"least_of_largest", tidy(section.roundness->round_ratio)}};
  }
  ordered_json checks = ordered_json::array();
  for (const rules::RuleCheck& check : section.checks) checks.push_back(rule_json(check));
  return {{"bend", section.bend},
          {"roundness", roundness},
          {"wall_loss", finite_or_null(section.wall_loss_ratio)},
          {"rules", checks}};
}

ordered_json agreed_json(const Agreement& agreed) {
  std::optional<double> angle_deg;
  if (agreed.angle) angle_deg = agreed.angle->deg();
  return {{"align", inspection::word(agreed.align)},
          {"datum_points", agreed.datum_points},
          {"length_mm", finite_or_null(agreed.length_mm)},
          {"angle_deg", finite_or_null(angle_deg)},
          {"zone_radius_mm", finite_or_null(agreed.zone_radius_mm)},
          {"corner_mm", finite_or_null(agreed.corner_mm)},
          {"end_mm", finite_or_null(agreed.end_mm)},
          {"rules", agreed.rules},
          {"guard_band", agreed.guard_band}};
}

}  // namespace

ordered_json correction_json(const planning::Plan& plan,
                             const planning::BenchCorrection& correction,
                             const inspection::Measured& measured) {
  ordered_json changes = ordered_json::array();
  for (const inspection::Change& change : correction.correction.changes) {
    changes.push_back(change_json(change));
  }
  ordered_json marks = ordered_json::array();
  for (const planning::NextMark& mark : correction.marks) {
    marks.push_back(
        {{"bend", mark.bend}, {"old_mm", tidy(mark.old_mm)}, {"new_mm", tidy(mark.new_mm)}});
  }
  return {{"schema", 1},
          {"part", plan.part.name},
          {"piece", measured.name},
          {"bender", plan.bender ? ordered_json(plan.bender->name) : ordered_json(nullptr)},
          {"from", plan.from == planning::End::kA ? "A" : "B"},
          {"errors", errors_json(measured.error)},
          {"last", program_json(correction.last)},
          {"next", program_json(correction.correction.next)},
          {"changes", changes},
          {"marks", marks},
          {"cut_length_mm",
           {{"old", tidy(correction.old_cut_mm)}, {"new", tidy(correction.new_cut_mm)}}},
          {"points_rms_mm", finite_or_null(correction.correction.points_rms_mm)},
          {"expected_rms_mm", finite_or_null(correction.correction.expected_rms_mm)},
          {"findings", findings_json(correction.correction.findings)}};
}

ordered_json inspection_json(const part::Part& part, const inspection::Inspection& inspection,
                             const Agreement& agreement, const inspection::Measured& measured) {
  ordered_json laid = ordered_json::array();
  for (const inspection::Laid& one : inspection.laid) laid.push_back(laid_json(one));
  ordered_json sections = ordered_json::array();
  for (const inspection::SectionJudgement& one : inspection.sections) {
    sections.push_back(section_json(one));
  }
  return {{"schema", 1},
          {"part", part.name},
          {"piece", inspection.piece},
          {"verdict", inspection::word(inspection.verdict)},
          {"agreed", agreed_json(agreement)},
          {"errors", errors_json(measured.error)},
          {"readings", lines_json(inspection.readings)},
          {"laid", laid},
          {"sections", sections},
          {"findings", findings_json(inspection.findings)}};
}

}  // namespace bight::exchange
