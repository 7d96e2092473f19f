#include "clearance/step_clearance.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

#include "base/check.h"
#include "clearance/contests.h"

namespace bight::clearance {

using base::Angle;
using geometry::Vec3;

std::string_view word(Stage stage) {
  switch (stage) {
    case Stage::kLoad:
      return "load";
    case Stage::kAdvance:
      return "advance";
    case Stage::kTurn:
      return "turn";
    case Stage::kSeat:
      return "seat";
    case Stage::kClamp:
      return "clamp";
    case Stage::kBend:
      return "bend";
    case Stage::kRelease:
      return "release";
    case Stage::kUnclamp:
      return "unclamp";
    case Stage::kDrawOff:
      return "draw off";
    case Stage::kLift:
      return "lift";
    case Stage::kReturn:
      return "return";
  }
  return "bend";
}

base::Status Tube::valid() const {
  const auto wrong = [](std::size_t bend, const char* what) {
    return base::Failure{"clearance.tube", fmt::format("bend {}", bend + 1), what, ""};
  };
  const auto positive = [](double x) { return std::isfinite(x) && x > 0.0; };
  if (!positive(od_mm) || !positive(length_mm) || bends.size() > 64) {
    return base::Failure{"clearance.tube", "", "the tube has no size, no length or over 64 bends",
                         ""};
  }
  double from_mm = 0.0;
  for (std::size_t i = 0; i < bends.size(); ++i) {
    const TubeBend& b = bends[i];
    if (!positive(b.blank_mm) || !positive(b.radius_mm) || !positive(b.die_radius_mm) ||
        !std::isfinite(b.start_mm) || !std::isfinite(b.rotation.rad())) {
      return wrong(i, "a length or radius of the bend is not more than zero");
    }
    const auto turns = [](Angle a) { return a.rad() > 0.0 && a.deg() < 360.0; };
    if (!turns(b.angle) || !turns(b.set_angle)) {
      return wrong(i, "the bend's angle is not between 0° and 360°");
    }
    // Overlaps of a rounding are none.
    if (b.start_mm < from_mm - 1e-6) return wrong(i, "the bend begins before the one ahead ends");
    from_mm = b.start_mm + b.blank_mm;
  }
  if (from_mm > length_mm + 1e-6) return wrong(bends.size() - 1, "the bend ends beyond the blank");
  return base::Done{};
}

double StepClearance::low_mm(double interest_mm) const {
  double low_mm = interest_mm;
  if (nearest.has_value()) low_mm = std::min(low_mm, nearest->low_mm);
  if (itself.has_value()) low_mm = std::min(low_mm, itself->low_mm);
  return low_mm;
}

double StepClearance::overlap_mm() const { return std::max(0.0, -low_mm(0.0)); }

namespace {

// What one side of the tube meets does not depend on the bends made on the other.
struct SideKey {
  std::size_t bend;
  std::size_t die;
  int which;  // 0 ahead, 1 behind, 2 the bend itself
  Front front;
  MadeBends made;  // those that matter
  double turn_rad;
  double advance_mm;

  auto tuple() const { return std::tie(bend, die, which, front, made, turn_rad, advance_mm); }
  friend bool operator<(const SideKey& a, const SideKey& b) { return a.tuple() < b.tuple(); }
};

MadeBends before(std::size_t bend) { return (MadeBends{1} << bend) - 1; }

SideKey key(const Step& step, int which) {
  const MadeBends towards_a = step.made & before(step.bend);
  const MadeBends towards_b = step.made & ~before(step.bend);
  const bool b_side = (which == 0) == (step.front == Front::kEndB);
  const MadeBends made = which == 2 ? 0 : b_side ? towards_b : towards_a;
  return {step.bend, step.die, which, step.front, made, step.turn.rad(), step.advance_mm};
}

// A found place told in the machine frame.
Nearest told(const Found& found, const Contests& contests, const StepContests& step,
             double radius_mm) {
  const About& about = contests.about[static_cast<std::size_t>(found.tag)];
  const StageMotion& stage = step.stages()[about.stage];
  Nearest out;
  out.low_mm = found.low_mm;
  out.high_mm = found.high_mm;
  out.stage = stage.stage;
  out.share_ratio = found.share_ratio;
  out.angle = stage.die_start + stage.die_turn * found.share_ratio;
  out.body = found.obstacle != nullptr ? found.obstacle->name : "the tube itself";
  out.keep_out = found.obstacle != nullptr && found.obstacle->keep_out;
  out.along_mm = found.along_mm;
  const Eigen::Isometry3d pose = about.seen_from.at(found.share_ratio);
  out.on_tube_mm = pose * found.on_tube_mm;
  out.on_body_mm = pose * Vec3(found.on_tube_mm - found.away * (found.high_mm + radius_mm));
  return out;
}

void take_nearer(std::optional<Nearest>& nearest, const std::optional<Nearest>& other) {
  if (!other.has_value()) return;
  if (!nearest.has_value() || other->low_mm < nearest->low_mm) nearest = other;
}

// More is forgotten at once: a search that asks this much has moved on.
constexpr std::size_t kMostRemembered = 200'000;

}  // namespace

struct StepChecker::Impl {
  std::shared_ptr<const Prepared> prepared;
  ClearanceOptions options;
  Search search;
  std::map<SideKey, std::optional<Nearest>> remembered;

  SearchOptions search_options() const {
    SearchOptions out;
    out.tube_radius_mm = 0.5 * prepared->tube.od_mm;
    out.tolerance_mm = options.tolerance_mm;
    out.interest_mm = options.interest_mm;
    if (options.only_whether) out.only_whether_within_mm = options.margin_mm;
    return out;
  }

  std::optional<Nearest> ask(const Contests& contests, const StepContests& step) {
    if (contests.list.empty()) return std::nullopt;
    const std::optional<Found> found = search.run(contests.list, search_options());
    if (!found.has_value()) return std::nullopt;
    return told(*found, contests, step, search_options().tube_radius_mm);
  }
};

StepChecker::StepChecker(std::unique_ptr<Impl> impl) : impl_(std::move(impl)) {}
StepChecker::StepChecker(const StepChecker& other) : impl_(std::make_unique<Impl>()) {
  impl_->prepared = other.impl_->prepared;
  impl_->options = other.impl_->options;
}
StepChecker& StepChecker::operator=(const StepChecker& other) {
  if (this != &other) *this = StepChecker(other);
  return *this;
}
StepChecker::StepChecker(StepChecker&&) noexcept = default;
StepChecker& StepChecker::operator=(StepChecker&&) noexcept = default;
StepChecker::~StepChecker() = default;

base::Result<StepChecker> StepChecker::make(const Setup& setup, const Tube& tube,
                                            const ClearanceOptions& options) {
  BIGHT_CHECK(options.tolerance_mm > 0.0 && options.interest_mm > 0.0);
  auto impl = std::make_unique<Impl>();
  BIGHT_TRY(impl->prepared, prepare(setup, tube));
  impl->options = options;
  return StepChecker(std::move(impl));
}

StepClearance StepChecker::check(const Step& step) {
  const Prepared& p = *impl_->prepared;
  StepClearance out;
  out.not_checked = p.not_checked;
  if (p.bender.kind == workshop::BenderKind::kThreeRoll) return out;
  BIGHT_CHECK(step.bend < p.tube.bends.size() && step.die < p.dies.size());
  BIGHT_CHECK(((step.made >> step.bend) & 1u) == 0);
  std::optional<StepContests> contests;
  const auto asked = [&]() -> const StepContests& {
    if (!contests.has_value()) contests.emplace(p, step);
    return *contests;
  };
  if (impl_->remembered.size() > kMostRemembered) impl_->remembered.clear();
  for (const int which : {0, 1, 2}) {
    const auto [at, is_new] = impl_->remembered.try_emplace(key(step, which));
    if (is_new) {
      const StepContests& c = asked();
      at->second = impl_->ask(
          which == 2 ? c.of_bend() : c.of_side(which == 0 ? Side::kAhead : Side::kBehind), c);
    }
    take_nearer(out.nearest, at->second);
  }
  const double bending_rad =
      (bending_on(p.tube, step, Side::kAhead) + bending_on(p.tube, step, Side::kBehind) +
       p.tube.bends[step.bend].set_angle)
          .rad();
  if (bending_rad >= std::numbers::pi - 1e-9) {
    out.itself = impl_->ask(asked().of_itself(), asked());
  }
  return out;
}

}  // namespace bight::clearance
