#include "exchange/plan_json.h"

#include <cmath>

#include "exchange/clear_json.h"
#include "exchange/json_numbers.h"
#include "geometry/centreline.h"
#include "learning/springback_fit.h"
#include "stock/provenance.h"

namespace bight::exchange {

using nlohmann::ordered_json;

namespace {

template <typename T>
ordered_json or_null(const std::optional<T>& value) {
  return value ? ordered_json(tidy(*value)) : ordered_json(nullptr);
}

ordered_json table_json(const geometry::BendTable& table) {
  ordered_json rows = ordered_json::array();
  for (const geometry::BendRow& row : table.rows()) {
    rows.push_back({{"straight_mm", tidy(row.straight_mm)},
                    {"rotation_deg", tidy(row.rotation.deg())},
                    {"angle_deg", tidy(row.angle.deg())},
                    {"radius_mm", tidy(row.radius_mm)}});
  }
  return rows;
}

ordered_json number_json(const stock::Sourced& number) {
  return {{"value", tidy(number.value)},
          {"provenance", stock::words(number.provenance)},
          {"source", number.source}};
}

ordered_json tube_json(const part::Part& part) {
  const stock::Section& s = part.section;
  ordered_json tube = {{"designation", part.tube_text},
                       {"round", s.round()},
                       {"hollow", s.hollow()},
                       {"height_mm", s.height_mm()},
                       {"width_mm", s.width_mm()},
                       {"wall_mm", s.hollow() ? ordered_json(s.wall_mm()) : ordered_json(nullptr)},
                       {"corner_radius_mm", s.corner_radius_mm()},
                       {"welded", part.welded},
                       {"mass_kg_per_m", tidy(s.mass_kg_per_m(part.material.density_kg_per_m3))},
                       {"material", part.material.name},
                       {"heat", part.material.heat},
                       {"rp02_mpa", number_json(part.material.yield_mpa)},
                       {"rm_mpa", number_json(part.material.tensile_mpa)},
                       {"youngs_mpa", number_json(part.material.youngs_mpa)}};
  return tube;
}

ordered_json law_json(const planning::UsedDie& used) {
  return {{"a_deg", tidy(used.law.constant.deg())},
          {"b", tidy(used.law.proportional_ratio)},
          {"convention", learning::kConvention},
          {"basis", used.law.basis},
          {"proven", used.law.proven},
          {"die", used.die.name}};
}

ordered_json limits_json(const std::vector<clearance::Limit>& limits) {
  ordered_json out = ordered_json::array();
  for (const clearance::Limit& limit : limits) {
    out.push_back({{"code", limit.code},
                   {"needed_mm", tidy(limit.needed_mm)},
                   {"allowed_mm", tidy(limit.allowed_mm)},
                   {"message", limit.message}});
  }
  return out;
}

ordered_json step_json(const planning::Step& step) {
  ordered_json json = {
      {"bend", step.bend},
      {"die", step.die},
      {"mark_mm", tidy(step.mark_mm)},
      {"mark_from_b_mm", tidy(step.mark_from_b_mm)},
      {"bend_lies", step.side == planning::MarkSide::kTowardsB ? "towards B" : "towards A"},
      {"die_mark_mm", or_null(step.die_mark_mm)},
      {"front", planning::letter_of(step.front)},
      {"flipped", step.flipped},
      {"straight_mm", tidy(step.straight_mm)},
      {"tail_mm", tidy(step.tail_mm)},
      {"rotation_deg", tidy(step.rotation.deg())},
      {"rotation_from",
       step.rotation_from ? ordered_json(*step.rotation_from) : ordered_json(nullptr)},
      {"wheel_deg", tidy(step.wheel.deg())},
      {"wheel_reset", step.wheel_reset},
      {"angle_deg", tidy(step.angle.deg())},
      {"set_angle_deg", tidy(step.set_angle.likely.deg())},
      {"set_low_deg", tidy(step.set_angle.low.deg())},
      {"set_high_deg", tidy(step.set_angle.high.deg())},
      {"arc_mm", tidy(step.arc_mm)},
      {"radius_after_release_mm", tidy(step.radius_after_release_mm)},
      {"torque_nm", tidy(step.torque_nmm * 1e-3)},
      {"speed_max_rpm", or_null(step.speed_max_rpm)}};
  json["clearance_mm"] =
      step.clearing ? ordered_json(tidy(step.clearing->low_mm)) : ordered_json(nullptr);
  json["nearest"] = step.clearing ? nearest_json(step.clearing->nearest()) : ordered_json(nullptr);
  json["limits"] = step.clearing ? limits_json(step.clearing->limits) : ordered_json::array();
  return json;
}

ordered_json blank_json(const planning::Blank& blank) {
  return {{"cut_length_mm", tidy(blank.cut.likely_mm)},
          {"cut_length_low_mm", tidy(blank.cut.low_mm)},
          {"cut_length_high_mm", tidy(blank.cut.high_mm)},
          {"grip_front_mm", tidy(blank.grip_front_mm)},
          {"grip_back_mm", tidy(blank.grip_back_mm)},
          {"trim_front_mm", tidy(blank.trim_front_mm)},
          {"trim_back_mm", tidy(blank.trim_back_mm)},
          {"front_end", planning::letter_of(blank.front)},
          {"proven", blank.proven},
          {"basis", blank.basis}};
}

ordered_json spread_json(const mechanics::LengthSpread& spread) {
  return {{"low", tidy(spread.low_mm)},
          {"likely", tidy(spread.likely_mm)},
          {"high", tidy(spread.high_mm)},
          {"reason", spread.reason}};
}

ordered_json metal_json(const planning::MetalForecast& m) {
  ordered_json tooling = ordered_json::array();
  for (const mechanics::ToolAdvice& advice : m.tooling) {
    tooling.push_back({{"rule", advice.rule},
                       {"need", mechanics::word(advice.need)},
                       {"message", advice.message},
                       {"source", advice.source},
                       {"provenance", stock::words(advice.provenance)}});
  }
  ordered_json json = {{"die", m.die},
                       {"wall_factor", tidy(m.wall_factor_ratio)},
                       {"d_of_bend", tidy(m.d_of_bend_ratio)},
                       {"outer_strain", tidy(m.outer_strain_ratio)},
                       {"uniform_elongation", or_null(m.uniform_ratio)},
                       {"elongation", or_null(m.elongation_ratio)},
                       {"stretch_ratio", tidy(m.stretch_ratio)},
                       {"neutral_shift_mm", tidy(m.neutral_shift_mm)},
                       {"springback_ratio", tidy(m.springback_ratio)},
                       {"wall_outer_mm", spread_json(m.wall_outer)},
                       {"wall_inner_mm", spread_json(m.wall_inner)}};
  json["ovality_pct"] = m.ovality ? ordered_json{{"low", tidy(100.0 * m.ovality->low_ratio)},
                                                 {"likely", tidy(100.0 * m.ovality->likely_ratio)},
                                                 {"high", tidy(100.0 * m.ovality->high_ratio)},
                                                 {"reason", m.ovality->reason}}
                                  : ordered_json(nullptr);
  json["wrinkle_quotient"] = or_null(m.wrinkle_quotient_ratio);
  json["tooling"] = tooling;
  json["mandrel_nose_mm"] = or_null(m.nose_mm);
  json["mandrel_advance_mm"] = or_null(m.nose_advance_mm);
  json["difficulty"] = or_null(m.difficulty_ratio);
  json["torque_nm"] = {{"low", tidy(m.torque.low_nmm * 1e-3)},
                       {"likely", tidy(m.torque.likely_nmm * 1e-3)},
                       {"high", tidy(m.torque.high_nmm * 1e-3)},
                       {"basis", m.torque.basis}};
  json["speed"] = m.speed ? ordered_json{{"max_rpm", tidy(m.speed->max_rpm)},
                                         {"advised_rpm", tidy(m.speed->advised_rpm)},
                                         {"limited_by", m.speed->limited_by},
                                         {"advice", m.speed->advice}}
                          : ordered_json(nullptr);
  return json;
}

ordered_json checked_rule_json(const rules::RuleCheck& check) {
  return {{"rule", check.rule_id},
          {"code", check.code},
          {"edition", check.edition},
          {"clause", check.clause},
          {"title", check.title},
          {"verdict", rules::word(check.verdict)},
          {"value", tidy(check.value)},
          {"limit", tidy(check.limit)},
          {"margin", tidy(check.margin)},
          {"unit", check.unit},
          {"message", check.message},
          {"source", check.source},
          {"provenance", stock::words(check.provenance)},
          {"notice", check.notice}};
}

}  // namespace

ordered_json finding_json(const part::Finding& finding) {
  ordered_json numbers = ordered_json::object();
  for (const auto& [name, value] : finding.numbers) numbers[name] = tidy(value);
  return {{"severity", part::word(finding.severity)},
          {"code", finding.code},
          {"bend", finding.bend ? ordered_json(*finding.bend) : ordered_json(nullptr)},
          {"message", finding.message},
          {"remedy", finding.remedy},
          {"source", finding.source},
          {"numbers", numbers}};
}

ordered_json order_json(const planning::WorkOrder& order) {
  ordered_json bends = ordered_json::array();
  for (const planning::PlacedBend& placed : order.bends) {
    bends.push_back({{"bend", placed.bend + 1}, {"front", planning::letter_of(placed.front)}});
  }
  return {{"text", planning::text(order.bends)},
          {"bends", bends},
          {"name", order.name},
          {"words", order.words},
          {"compared", order.compared},
          {"works", order.works()},
          {"best", order.best},
          {"stops", order.num_stops},
          {"flips", order.num_flips},
          {"die_changes", order.num_die_changes},
          {"clearance_mm", or_null(order.low_mm)}};
}

ordered_json part_json(const part::Part& part) {
  ordered_json corners = ordered_json::array();
  for (const geometry::Vec3& p_mm : geometry::corner_points_mm(part.table, part.start)) {
    corners.push_back(point_json(p_mm));
  }
  const geometry::Centreline line = geometry::lay_out(part.table, part.start);
  const Eigen::AlignedBox3d box =
      geometry::envelope_mm(line, std::max(part.section.height_mm(), part.section.width_mm()));
  return {{"name", part.name},
          {"revision", part.revision},
          {"customer", part.customer},
          {"drawing", part.drawing},
          {"hand", part::letters(part.hand)},
          {"quantity", part.quantity},
          {"tube", tube_json(part)},
          {"corners_mm", corners},
          {"bend_table", table_json(part.table)},
          {"last_straight_mm", tidy(part.table.last_straight_mm())},
          {"radius_is", part.radii_are_die ? "die" : "part"},
          {"developed_length_mm", tidy(part.table.developed_length_mm())},
          {"total_bend_deg", tidy(part.table.total_bend().deg())},
          {"envelope_mm", {{"low", point_json(box.min())}, {"high", point_json(box.max())}}}};
}

ordered_json plan_json(const planning::Plan& plan) {
  ordered_json steps = ordered_json::array();
  for (const planning::Step& step : plan.steps) steps.push_back(step_json(step));
  ordered_json laws = ordered_json::array();
  for (const planning::UsedDie& used : plan.dies) laws.push_back(law_json(used));
  ordered_json checks = ordered_json::array();
  for (const planning::CheckDimension& check : plan.checks) {
    checks.push_back({{"label", check.label}, {"value_mm", tidy(check.value_mm)}});
  }
  ordered_json findings = ordered_json::array();
  for (const part::Finding& finding : plan.findings) findings.push_back(finding_json(finding));
  ordered_json json = {
      {"schema", 1},
      {"part", part_json(plan.part)},
      {"bender", plan.bender ? ordered_json(plan.bender->name) : ordered_json(nullptr)},
      {"from", planning::letter_of(plan.from)}};
  // What was bent, with the radii after release; equal to part.bend_table before a die is found.
  json["bent"] = {{"bend_table", table_json(plan.bent_table)},
                  {"last_straight_mm", tidy(plan.bent_table.last_straight_mm())}};
  json["blank"] = plan.steps.empty() && plan.blank.cut.likely_mm == 0.0 ? ordered_json(nullptr)
                                                                        : blank_json(plan.blank);
  json["steps"] = steps;
  json["order"] = plan.steps.empty() ? ordered_json(nullptr) : order_json(plan.order);
  json["alternatives"] = ordered_json::array();
  for (const planning::WorkOrder& other : plan.alternatives) {
    json["alternatives"].push_back(order_json(other));
  }
  json["springback"] = plan.dies.empty() ? ordered_json(nullptr) : law_json(plan.dies.front());
  json["springbacks"] = laws;
  json["metal"] = ordered_json::array();
  for (const planning::MetalForecast& m : plan.metal) json["metal"].push_back(metal_json(m));
  json["rules"] = ordered_json::array();
  for (const rules::RuleCheck& check : plan.rule_checks)
    json["rules"].push_back(checked_rule_json(check));
  json["seam"] = plan.seam ? ordered_json{{"bend", plan.seam->bend},
                                          {"clock", plan.seam->text},
                                          {"clock_deg", tidy(plan.seam->clock.deg())},
                                          {"off_neutral_deg", tidy(plan.seam->off_neutral.deg())}}
                           : ordered_json(nullptr);
  json["checks"] = checks;
  json["mass_kg"] = tidy(plan.mass_kg);
  json["findings"] = findings;
  return json;
}

}  // namespace bight::exchange
