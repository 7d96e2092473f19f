#include "inspection/correction_patterns.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "geometry/centreline.h"
#include "geometry/corners.h"
#include "inspection/alignment.h"

namespace bight::inspection {

using base::Angle;
using part::Severity;

namespace {

// A rotation this near to 0° or 180° is the same in a mirror.
constexpr Angle kPlain = Angle::degrees(10);
// A right angle is the same included or not.
constexpr Angle kNearRight = Angle::degrees(10);
// How near readings must come to the other way of reading them.
constexpr Angle kClose = Angle::degrees(5);
// One shape explains the readings better than another when its squares are this much smaller.
constexpr double kMuchBetter_ratio = 0.1;
// One bend alone: this many times its reading's error, and as many times the others'.
constexpr double kAlone_ratio = 4.0;
// Straights that are off alike: their spread against their mean.
constexpr double kAlike_ratio = 0.3;

struct Mark {
  Correction& out;

  void finding(Severity severity, const char* code, std::string message, std::string remedy,
               std::map<std::string, double> numbers = {}) const {
    out.findings.push_back({severity, code, std::nullopt, std::move(message), std::move(remedy),
                            "common practice, no source", std::move(numbers)});
  }
  // Entries of a kind are not corrected from these readings.
  void withhold(Entry entry) const {
    for (Change& change : out.changes) {
      if (change.entry.entry == entry && change.left == Left::kUsed) change.left = Left::kPattern;
    }
  }
  void withhold_all() const {
    for (const Entry entry : {Entry::kStraight, Entry::kRotation, Entry::kAngle}) withhold(entry);
  }
};

// Sum of squares of the readings against a table, in reading errors.
double misfit(const Measured& measured, const geometry::BendTable& table) {
  double sum = 0.0;
  const auto add = [&](double off, double error) { sum += (off / error) * (off / error); };
  for (std::size_t i = 0; i < measured.bends.size(); ++i) {
    const MeasuredBend& bend = measured.bends[i];
    const geometry::BendRow& row = table.rows()[i];
    if (bend.straight_mm) add(*bend.straight_mm - row.straight_mm, measured.error.straight_mm);
    if (bend.angle) add((*bend.angle - row.angle).rad(), measured.error.angle.rad());
    if (bend.rotation && i > 0) {
      add((*bend.rotation - row.rotation).wrapped().rad(), measured.error.rotation.rad());
    }
  }
  if (measured.last_straight_mm) {
    add(*measured.last_straight_mm - table.last_straight_mm(), measured.error.straight_mm);
  }
  return sum;
}

std::size_t num_readings(const Measured& measured) {
  std::size_t count = measured.last_straight_mm ? 1 : 0;
  for (const MeasuredBend& bend : measured.bends) {
    count += (bend.straight_mm ? 1u : 0u) + (bend.angle ? 1u : 0u) + (bend.rotation ? 1u : 0u);
  }
  return count;
}

bool reversed(const CorrectionRequest& request, const Mark& mark) {
  const Measured& measured = request.measured;
  if (num_readings(measured) < 4 || measured.bends.empty()) return false;
  const double as_drawn = misfit(measured, request.wanted);
  const double from_b = misfit(measured, request.wanted.reversed());
  // Only where the part read from end A is plainly wrong.
  const double clear = 25.0 * static_cast<double>(num_readings(measured));
  if (!(as_drawn > clear && from_b < kMuchBetter_ratio * as_drawn)) return false;
  mark.finding(Severity::kCaution, "correct.reversed",
               "these readings fit the part read from end B: nothing was corrected",
               "measure from end A, or turn the list of readings round");
  mark.withhold_all();
  return true;
}

// Best fit of the read points to the corners of a table.
double points_rms_mm(const Measured& measured, const geometry::BendTable& table) {
  const Points corners = geometry::corner_points_mm(table);
  Points read;
  Points drawn;
  for (std::size_t i = 0; i < measured.points_mm.size() && i < corners.size(); ++i) {
    if (!measured.points_mm[i]) continue;
    read.push_back(*measured.points_mm[i]);
    drawn.push_back(corners[i]);
  }
  const base::Result<Alignment> fit = best_fit(read, drawn);
  return fit.ok() ? fit->rms_mm : 0.0;
}

bool mirrored(const CorrectionRequest& request, const Mark& mark) {
  const Measured& measured = request.measured;
  std::size_t num_turned = 0;
  std::size_t num_opposite = 0;
  for (std::size_t i = 1; i < measured.bends.size(); ++i) {
    if (!measured.bends[i].rotation) continue;
    const Angle wanted = request.wanted.rows()[i].rotation;
    const double size_deg = std::abs(wanted.deg());
    if (size_deg < kPlain.deg() || size_deg > 180.0 - kPlain.deg()) continue;
    ++num_turned;
    const Angle off = (*measured.bends[i].rotation + wanted).wrapped();
    const bool opposite = std::abs(off.deg()) < kClose.deg() + measured.error.rotation.deg();
    num_opposite += opposite ? 1u : 0u;
  }
  bool found = num_turned > 0 && num_opposite == num_turned;
  if (!found && measured.any_point()) {
    const double as_drawn_mm = points_rms_mm(measured, request.wanted);
    found = as_drawn_mm > 5.0 * measured.error.point_mm &&
            points_rms_mm(measured, request.wanted.mirrored()) < kMuchBetter_ratio * as_drawn_mm;
    if (found) mark.withhold_all();
  }
  if (!found) return false;
  mark.finding(Severity::kCaution, "correct.mirrored",
               "the piece is the other hand: every rotation has the opposite sign, so no rotation "
               "was corrected",
               "check the sign of one rotation at the machine, or the side each was read from");
  mark.withhold(Entry::kRotation);
  return true;
}

bool included(const CorrectionRequest& request, const Mark& mark) {
  std::size_t num_slanted = 0;
  std::size_t num_included = 0;
  for (std::size_t i = 0; i < request.measured.bends.size(); ++i) {
    if (!request.measured.bends[i].angle) continue;
    const Angle wanted = request.wanted.rows()[i].angle;
    if (std::abs((wanted - Angle::degrees(90)).deg()) < kNearRight.deg()) continue;
    ++num_slanted;
    const Angle other = Angle::degrees(180) - *request.measured.bends[i].angle;
    num_included += std::abs((other - wanted).deg()) < kClose.deg() ? 1u : 0u;
  }
  if (num_slanted == 0 || num_included != num_slanted) return false;
  mark.finding(Severity::kCaution, "correct.included",
               "the angles look like included angles (180° less the bend): no angle was corrected",
               "enter the change of direction: a straight tube is 0°, a U is 180°");
  mark.withhold(Entry::kAngle);
  return true;
}

// Changes of one kind that were read well enough to speak.
std::vector<const Change*> told(const Correction& correction, Entry entry) {
  std::vector<const Change*> out;
  for (const Change& change : correction.changes) {
    const bool speaks = change.left == Left::kUsed || change.left == Left::kRight;
    if (change.entry.entry == entry && speaks && change.measured) out.push_back(&change);
  }
  return out;
}

double off(const Change& change) { return *change.measured - change.wanted; }

bool same_straights(const CorrectionRequest& request, const Mark& mark) {
  std::vector<double> offs_mm;
  double error_mm = 0.0;
  for (const Change* change : told(mark.out, Entry::kStraight)) {
    const std::size_t i = change->entry.index;
    if (i == 0 || i == request.wanted.num_bends()) continue;  // end straights hang on the blank
    offs_mm.push_back(off(*change));
    error_mm = std::max(error_mm, change->error);
  }
  if (offs_mm.size() < 2) return false;
  const auto [low, high] = std::minmax_element(offs_mm.begin(), offs_mm.end());
  double mean_mm = 0.0;
  for (const double one : offs_mm) mean_mm += one / static_cast<double>(offs_mm.size());
  const bool alike = *high - *low <= std::max(error_mm, kAlike_ratio * std::abs(mean_mm));
  const bool real = std::min(std::abs(*low), std::abs(*high)) > error_mm && *low * *high > 0.0;
  if (!alike || !real) return false;
  mark.finding(Severity::kCaution, "correct.arc",
               fmt::format("all straights between bends are {:.1f} mm too {}: each arc uses "
                           "{:.1f} mm {} tube than believed",
                           std::abs(mean_mm), mean_mm > 0.0 ? "long" : "short", std::abs(mean_mm),
                           mean_mm > 0.0 ? "less" : "more"),
               "change the effective arc once instead of every feed, and the cut length with it",
               {{"arc_mm", -mean_mm}});
  return true;
}

// Every bend opens by the same share more or less than foreseen.
bool another_heat(const Mark& mark) {
  double low = 1e300;
  double high = -1e300;
  std::size_t count = 0;
  bool clear = true;
  for (const Change* change : told(mark.out, Entry::kAngle)) {
    const double lost_deg = change->old_value - change->wanted;
    if (!(lost_deg > 0.2)) continue;
    const double share = -off(*change) / lost_deg;
    low = std::min(low, share);
    high = std::max(high, share);
    clear = clear && std::abs(off(*change)) > change->error;
    ++count;
  }
  if (count < 2 || !clear || low * high <= 0.0) return false;
  const double mean = (low + high) / 2.0;
  if (high - low > kAlike_ratio * std::abs(mean)) return false;
  mark.finding(Severity::kNote, "correct.heat",
               fmt::format("every bend springs back {:.0f} % {} than foreseen: this heat differs",
                           100.0 * std::abs(mean), mean > 0.0 ? "more" : "less"),
               "enter these bends as trials of this heat, then all set angles follow",
               {{"factor_ratio", 1.0 + mean}});
  return true;
}

void one_alone(const Mark& mark, Entry entry, const char* unit) {
  const std::vector<const Change*> all = told(mark.out, entry);
  if (all.size() < 3) return;
  const auto worst = std::max_element(all.begin(), all.end(), [](const Change* a, const Change* b) {
    return std::abs(off(*a)) < std::abs(off(*b));
  });
  double others = 0.0;
  for (const Change* change : all) {
    if (change != *worst) others = std::max(others, std::abs(off(*change)) - change->error);
  }
  const double worst_off = off(**worst);
  if (others > 0.0 || std::abs(worst_off) < kAlone_ratio * (*worst)->error) return;
  mark.finding(Severity::kCaution, "correct.slip",
               fmt::format("{} alone is off by {:+.2f}{}, the others are right: a slip of the "
                           "clamp or a misreading more than the program",
                           (*worst)->what, worst_off, unit),
               "look for clamp marks and measure again before the program is changed",
               {{"off", worst_off}});
}

}  // namespace

void add_patterns(const CorrectionRequest& request, Correction& correction) {
  const Mark mark{correction};
  if (reversed(request, mark)) return;
  const bool wrong_hand = mirrored(request, mark);
  const bool wrong_angles = included(request, mark);
  const bool arc = same_straights(request, mark);
  if (!arc) one_alone(mark, Entry::kStraight, " mm");
  if (!wrong_angles && !another_heat(mark)) one_alone(mark, Entry::kAngle, "°");
  if (!wrong_hand) one_alone(mark, Entry::kRotation, "°");
}

}  // namespace bight::inspection
