#include "exchange/taped_toml.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "exchange/part_toml.h"

namespace bight::exchange {

using base::Angle;
using geometry::Face;
using geometry::LegEnd;
using geometry::TapedPart;
using part::Finding;
using part::Severity;

namespace {

const std::vector<std::string_view> kLegEnds = {"straight", "corner", "outside", "inside", "back"};
const std::vector<std::string_view> kFaces = {"centre", "outside", "inside"};
// Readings named one by one in the findings.
constexpr std::size_t kNamed = 3;

LegEnd leg_end(Fields& f, std::string_view key, LegEnd otherwise) {
  const std::optional<std::size_t> word = f.choice(key, kLegEnds);
  return word ? static_cast<LegEnd>(*word) : otherwise;
}

void read_taped_errors(Fields& top, geometry::TapedErrors& errors) {
  std::optional<Fields> own = top.table("errors");
  if (!own) return;
  Fields& f = *own;
  const auto length = [&](std::string_view key, double& error_mm) {
    error_mm = f.length_mm(key).value_or(error_mm);
    if (error_mm < 0.0) f.complain(key, "key.value", "an error has no sign", "give it above zero");
  };
  const auto angle = [&](std::string_view key, Angle& error) {
    error = f.angle(key).value_or(error);
    if (error < Angle()) f.complain(key, "key.value", "an error has no sign", "give it above zero");
  };
  length("tape", errors.tape_mm);
  length("rise", errors.rise_mm);
  length("radius", errors.radius_mm);
  angle("protractor", errors.protractor);
  angle("level", errors.level);
  angle("rotation", errors.rotation);
  f.no_others();
  top.adopt(f);
}

// radius, or chord and rise with the face they lie on. Absent when none is given.
std::optional<geometry::TapedRadius> read_radius(Fields& f, double size_mm) {
  const auto face = static_cast<Face>(f.choice("radius_to", kFaces).value_or(0));
  const std::optional<double> radius_mm = f.length_mm("radius");
  const std::optional<double> chord_mm = f.length_mm("chord");
  const std::optional<double> rise_mm = f.length_mm("rise");
  if (chord_mm.has_value() != rise_mm.has_value()) {
    f.complain(chord_mm ? "rise" : "chord", "key.missing", "chord and rise go together",
               "give both");
  }
  if (radius_mm && chord_mm) {
    f.complain("chord", "part.radius", "both radius and chord are given", "keep one");
  }
  if (chord_mm && rise_mm) return geometry::ByChord{*chord_mm, *rise_mm, face};
  if (!radius_mm) return std::nullopt;
  return geometry::KnownRadius{geometry::centreline_radius_mm(*radius_mm, face, size_mm)};
}

std::optional<std::array<Angle, 2>> two_levels(Fields& f, std::string_view key) {
  const std::optional<std::vector<double>> degrees = f.numbers(key);
  if (!degrees) return std::nullopt;
  if (degrees->size() != 2 || std::abs((*degrees)[0]) > 360.0 || std::abs((*degrees)[1]) > 360.0) {
    f.complain(key, "key.value", "this is not a pair of level readings",
               "give two numbers of degrees: [before, after]");
    return std::nullopt;
  }
  return std::array<Angle, 2>{Angle::degrees((*degrees)[0]), Angle::degrees((*degrees)[1])};
}

void exactly_one(Fields& f, const std::vector<std::string_view>& keys) {
  std::size_t given = 0;
  for (const std::string_view key : keys) given += f.has(key);
  if (given == 1) return;
  std::string list;
  for (const std::string_view key : keys) list += (list.empty() ? "" : ", ") + std::string(key);
  f.complain(keys.front(), given == 0 ? "key.missing" : "key.value",
             given == 0 ? "the reading is missing" : "it is given more than once",
             "give exactly one of: " + list);
}

geometry::TapedAngle read_taped_angle(Fields& f) {
  exactly_one(f, {"angle", "included", "triangle", "levels"});
  if (const auto sides = f.lengths_mm("triangle")) {
    if (sides->size() == 3) return geometry::ByTriangle{(*sides)[0], (*sides)[1], (*sides)[2]};
    f.complain("triangle", "key.value", "a triangle has three lengths",
               "give [along the leg before, along the leg after, across]");
  }
  if (const auto levels = two_levels(f, "levels")) {
    return geometry::ByLevels{(*levels)[0], (*levels)[1]};
  }
  if (const auto included = f.angle("included")) {
    return geometry::ByProtractor{Angle::degrees(180) - *included};
  }
  return geometry::ByProtractor{f.angle("angle").value_or(Angle())};
}

geometry::TapedRotation read_rotation(Fields& f, bool first) {
  const bool past_upright = f.flag("past_upright").value_or(false);
  if (first) {
    for (const char* key : {"rotation", "plane_levels", "leg_level"}) {
      if (f.has(key)) {
        f.complain(key, "key.value", "the first bend has no rotation", "leave it out");
      }
    }
    return geometry::ByTurn{};
  }
  exactly_one(f, {"rotation", "plane_levels", "leg_level"});
  if (const auto levels = two_levels(f, "plane_levels")) {
    return geometry::ByPlaneLevels{(*levels)[0], (*levels)[1]};
  }
  if (const auto climb = f.angle("leg_level")) return geometry::ByLegLevel{*climb, past_upright};
  return geometry::ByTurn{f.angle("rotation").value_or(Angle())};
}

void read_bends(Fields& top, TapedPart& part) {
  const std::optional<geometry::TapedRadius> shared = read_radius(top, part.size_mm);
  if (shared) part.radii.push_back(*shared);
  for (Fields& f : top.tables("bends")) {
    geometry::TapedBend bend{read_taped_angle(f), read_rotation(f, part.bends.empty()), 0};
    if (const auto own = read_radius(f, part.size_mm)) {
      bend.radius = part.radii.size();
      part.radii.push_back(*own);
    } else if (!shared) {
      f.complain("radius", "part.radius", "the bend has no radius",
                 "give radius, or chord and rise, here or once for all bends");
    }
    f.no_others();
    top.adopt(f);
    part.bends.push_back(std::move(bend));
  }
}

void read_legs(Fields& top, TapedPart& part) {
  const LegEnd usual = leg_end(top, "legs_to", LegEnd::kStraight);
  if (!top.has("legs")) {
    top.complain("legs", "key.missing", "the legs are missing", "give { length = ... } for each");
  }
  for (Fields& f : top.tables("legs")) {
    geometry::TapedLeg leg;
    leg.length_mm = f.need_length_mm("length");
    leg.from = leg_end(f, "from", usual);
    leg.to = leg_end(f, "to", usual);
    f.no_others();
    top.adopt(f);
    part.legs.push_back(leg);
  }
}

}  // namespace

std::vector<Finding> taped_findings(const geometry::Taped& taped) {
  std::vector<Finding> out;
  const char* source = "readings times their usual errors";
  Finding whole{Severity::kNote, "taped.far-end", std::nullopt, "", "", source, {}};
  whole.message = fmt::format(
      "with readings as exact as usual the far end is known to ± {:.1f} mm (± {:.1f} mm if all err "
      "the same way)",
      taped.far_end_usual_mm, taped.far_end_worst_mm);
  whole.remedy = "hold the first part against the sample end to end before bending more";
  whole.numbers = {{"far_end_usual_mm", taped.far_end_usual_mm},
                   {"far_end_worst_mm", taped.far_end_worst_mm}};
  out.push_back(std::move(whole));
  for (std::size_t i = 0; i < std::min(kNamed, taped.influences.size()); ++i) {
    const geometry::TapedInfluence& influence = taped.influences[i];
    out.push_back({Severity::kNote,
                   "taped.influence",
                   std::nullopt,
                   fmt::format("{} {}: {} moves the far end by {:.1f} mm",
                               i == 0 ? "what matters most is the" : "then the", influence.reading,
                               influence.error, influence.far_end_mm),
                   i == 0 ? "read this one twice, with the best tool there is" : "",
                   source,
                   {{"far_end_mm", influence.far_end_mm}}});
  }
  return out;
}

base::Result<Line> read_measured(Fields f, double size_mm) {
  TapedPart part;
  part.size_mm = size_mm;
  const bool radii_are_die = f.choice("radius_is", {"part", "die"}).value_or(0) == 1;
  for (const char* key : {"legs", "bends"}) {
    if (const std::size_t num = f.count(key); num > kMostBends + 1) {
      f.complain(key, "key.value", fmt::format("{} are more than a tube has", num),
                 "split the part");
    }
  }
  BIGHT_TRY(const base::Done sized, f.status());
  static_cast<void>(sized);
  read_taped_errors(f, part.errors);
  read_bends(f, part);
  read_legs(f, part);
  f.no_others();
  BIGHT_TRY(const base::Done all_read, f.status());
  static_cast<void>(all_read);
  base::Result<geometry::Taped> taped = geometry::bend_table_of(part);
  if (!taped.ok()) {
    base::Failure failure = taped.failure();
    failure.where = f.where() + (failure.where.empty() ? "" : ", " + failure.where);
    return failure;
  }
  return Line{taped->table, geometry::Frame(), radii_are_die, taped_findings(*taped)};
}

}  // namespace bight::exchange
