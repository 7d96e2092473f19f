#include "exchange/keypad_document.h"

#include <utility>

#include "exchange/fields.h"
#include "exchange/plan_json.h"

namespace bight::exchange {

using base::Result;
using nlohmann::ordered_json;
using planning::KeypadProfile;

namespace {

constexpr double kMmPerInch = 25.4;

KeypadProfile read_profile(Fields& f) {
  KeypadProfile profile;
  profile.bender = f.text("bender").value_or("");
  const auto words = f.texts("asks");
  if (!words) f.complain("asks", "key.missing", "the columns are missing", "asks = [\"feed\", …]");
  for (const std::string& word : words.value_or(std::vector<std::string>())) {
    const Result<planning::KeypadColumn> column = planning::keypad_column(word);
    if (column.ok()) {
      profile.columns.push_back(*column);
    } else {
      f.complain("asks", column.failure().code, column.failure().message, column.failure().remedy);
    }
  }
  if (f.choice("lengths", {"mm", "in"}).value_or(0) == 1) {
    profile.unit = base::LengthUnit::kInch;
    profile.length_step_mm = kMmPerInch / 1000.0;
  }
  profile.length_step_mm = f.length_mm("length_step").value_or(profile.length_step_mm);
  profile.angle_step = f.angle("angle_step");
  profile.rotation_full_circle = f.choice("rotation", {"half", "full"}).value_or(0) == 1;
  profile.speed_in_percent = f.choice("speed", {"rpm", "percent"}).value_or(0) == 1;
  profile.note = f.text("note").value_or("");
  if (!(profile.length_step_mm > 0.0) ||
      (profile.angle_step && !(profile.angle_step->rad() > 0.0))) {
    f.complain("length_step", "keypad.profile", "a step of the keypad lies above zero",
               "the finest length and angle it takes");
  }
  f.no_others();
  return profile;
}

}  // namespace

Result<std::vector<KeypadProfile>> read_keypads(const Document& document) {
  Fields top(document);
  BIGHT_TRY(const base::Done rules, read_rules(top, "keypad.schema"));
  static_cast<void>(rules);
  std::vector<KeypadProfile> profiles;
  for (Fields& f : top.tables("keypad")) {
    profiles.push_back(read_profile(f));
    top.adopt(f);
  }
  top.no_others();
  BIGHT_TRY(const base::Done read, top.status());
  static_cast<void>(read);
  return profiles;
}

KeypadProfile keypad_for(const std::vector<KeypadProfile>& profiles,
                         const workshop::Bender& bender) {
  for (const std::string& name : {bender.name, std::string()}) {
    for (const KeypadProfile& profile : profiles) {
      if (profile.bender == name) return profile;
    }
  }
  return planning::usual_keypad(bender);
}

ordered_json keypad_json(const planning::KeypadTable& table) {
  ordered_json json = {{"schema", 1}, {"bender", table.profile.bender}};
  json["columns"] = ordered_json::array();
  for (std::size_t i = 0; i < table.heads.size(); ++i) {
    json["columns"].push_back({{"asks", planning::keypad_word(table.profile.columns[i])},
                               {"head", table.heads[i]},
                               {"total", table.totals[i].empty() ? ordered_json(nullptr)
                                                                 : ordered_json(table.totals[i])}});
  }
  json["rows"] = ordered_json::array();
  for (const planning::KeypadRow& row : table.rows) {
    ordered_json cells = ordered_json::array();
    for (const planning::KeypadCell& cell : row.cells) cells.push_back(cell.text);
    json["rows"].push_back({{"step", row.step}, {"bend", row.bend}, {"cells", std::move(cells)}});
  }
  if (table.last_straight_mm) json["last_straight_mm"] = *table.last_straight_mm;
  if (table.arcs_mm) json["arcs_mm"] = *table.arcs_mm;
  if (!table.profile.note.empty()) json["note"] = table.profile.note;
  json["findings"] = ordered_json::array();
  for (const part::Finding& finding : table.findings) {
    json["findings"].push_back(finding_json(finding));
  }
  return json;
}

ordered_json checklist_json(const planning::Checklist& list) {
  ordered_json json = {{"items", ordered_json::array()}, {"cautions", list.cautions}};
  for (const planning::ChecklistItem& item : list.items) {
    json["items"].push_back(
        {{"id", item.id}, {"text", item.text}, {"safety", item.safety}, {"source", item.source}});
  }
  return json;
}

}  // namespace bight::exchange
