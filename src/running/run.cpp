#include "running/run.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <tuple>

namespace bight::running {

using base::Angle;
using base::Failure;
using base::Status;

namespace {

// Beyond what any bender turns through in one go.
constexpr double kLargestSet_deg = 400.0;

bool bender_angle(Angle angle, double least_deg) {
  // Degrees turned into radians and back may differ in the last digit.
  constexpr double kLastDigit_deg = 1e-9;
  return angle.deg() >= least_deg - kLastDigit_deg &&
         angle.deg() <= kLargestSet_deg + kLastDigit_deg;
}

Failure bad_angle(const char* what) {
  return {"run.angle", what, "no bender makes this angle",
          fmt::format("degrees from 0 to {:.0f}", kLargestSet_deg)};
}

Status check_text(const std::string& text, const char* where, std::size_t longest) {
  if (text.size() <= longest) return base::Done{};
  return Failure{"run.text", where, fmt::format("{} bytes are too long", text.size()),
                 fmt::format("at most {} bytes", longest)};
}

Status check_key(const std::string& key, const char* where) {
  const bool printable =
      std::all_of(key.begin(), key.end(), [](char c) { return c > ' ' && c <= '~'; });
  if (!key.empty() && key.size() <= kLongestKey && printable) return base::Done{};
  return Failure{"run.key", where, "an event needs a name of its own",
                 fmt::format("1 to {} printable ASCII characters without spaces, the same whenever "
                             "the same event is sent",
                             kLongestKey)};
}

Status check_piece(int piece, int least) {
  if (piece >= least && piece <= kMostRunPieces) return base::Done{};
  return Failure{"run.piece", "piece", fmt::format("there is no piece {}", piece),
                 fmt::format("a number from 1 to {}", kMostRunPieces)};
}

Status check_step(const Run& run, int step, int least) {
  if (step >= least && step <= static_cast<int>(run.steps.size())) return base::Done{};
  return Failure{"run.step", "step", fmt::format("there is no step {}", step),
                 fmt::format("a number from 1 to {}, in the order of working", run.steps.size())};
}

// What each deed must be; the first thing wrong.
struct DeedCheck {
  const Run& run;

  Status place(int piece, int step, int least = 1) const {
    BIGHT_TRY(const base::Done piece_there, check_piece(piece, least));
    static_cast<void>(piece_there);
    return check_step(run, step, least);
  }
  Status operator()(const PieceBegun& deed) const {
    BIGHT_TRY(const base::Done there, check_piece(deed.piece, 1));
    static_cast<void>(there);
    return check_text(deed.heat, "heat", kLongestKey);
  }
  Status operator()(const Hit& deed) const {
    if (!bender_angle(deed.set, 0.0)) return bad_angle("set");
    if (deed.read && !bender_angle(*deed.read, -kLargestSet_deg)) return bad_angle("read");
    return place(deed.piece, deed.step);
  }
  Status operator()(const BendDone& deed) const { return place(deed.piece, deed.step); }
  Status operator()(const AngleMeasured& deed) const {
    if (!bender_angle(deed.angle, -kLargestSet_deg)) return bad_angle("angle");
    return place(deed.piece, deed.step);
  }
  Status operator()(const PieceFinished& deed) const {
    BIGHT_TRY(const base::Done there, check_piece(deed.piece, 1));
    static_cast<void>(there);
    return check_text(deed.reason, "reason", kLongestNote);
  }
  Status operator()(const SetChanged& deed) const {
    if (!bender_angle(deed.set, 0.0)) return bad_angle("set");
    return place(deed.from_piece, deed.step);
  }
  Status operator()(const ItemChecked& deed) const { return check_key(deed.item, "item"); }
  Status operator()(const TroubleAnswered& deed) const {
    for (const std::string* text : {&deed.symptom, &deed.question, &deed.answer}) {
      BIGHT_TRY(const base::Done named, check_key(*text, "symptom"));
      static_cast<void>(named);
    }
    return base::Done{};
  }
  Status operator()(const Noted& deed) const {
    BIGHT_TRY(const base::Done there, place(deed.piece, deed.step, 0));
    static_cast<void>(there);
    return check_text(deed.text, "text", kLongestNote);
  }
  Status operator()(const TakenBack& deed) const { return check_key(deed.of, "of"); }
  Status operator()(const RunEnded&) const { return base::Done{}; }
};

// Every field of a deed in one tuple, so that any two of a kind can be put in order.
struct DeedOrder {
  using Row = std::tuple<int, int, double, double, std::string, std::string, std::string>;
  static double optional_rad(const std::optional<Angle>& angle) {
    return angle ? angle->rad() : -1e9;
  }
  Row operator()(const PieceBegun& d) const { return {d.piece, 0, 0, 0, d.heat, "", ""}; }
  Row operator()(const Hit& d) const {
    return {d.piece, d.step, d.set.rad(), optional_rad(d.read), "", "", ""};
  }
  Row operator()(const BendDone& d) const { return {d.piece, d.step, 0, 0, "", "", ""}; }
  Row operator()(const AngleMeasured& d) const {
    return {d.piece, d.step, d.angle.rad(), 0, "", "", ""};
  }
  Row operator()(const PieceFinished& d) const {
    return {d.piece, static_cast<int>(d.verdict), 0, 0, d.reason, "", ""};
  }
  Row operator()(const SetChanged& d) const {
    return {d.from_piece, d.step, d.set.rad(), 0, "", "", ""};
  }
  Row operator()(const ItemChecked& d) const { return {d.done, 0, 0, 0, d.item, "", ""}; }
  Row operator()(const TroubleAnswered& d) const {
    return {0, 0, 0, 0, d.symptom, d.question, d.answer};
  }
  Row operator()(const Noted& d) const { return {d.piece, d.step, 0, 0, d.text, "", ""}; }
  Row operator()(const TakenBack& d) const { return {0, 0, 0, 0, d.of, "", ""}; }
  Row operator()(const RunEnded&) const { return {0, 0, 0, 0, "", "", ""}; }
};

auto rank(const Event& event) {
  return std::make_tuple(event.at, event.key, event.by, event.deed.index(),
                         std::visit(DeedOrder{}, event.deed));
}

}  // namespace

bool comes_before(const Event& a, const Event& b) { return rank(a) < rank(b); }

Status check_run(const Run& run) {
  if (run.steps.empty() || run.steps.size() > kMostRunSteps) {
    return Failure{"run.steps", "steps", fmt::format("{} bends", run.steps.size()),
                   fmt::format("1 to {} bends in the order of working", kMostRunSteps)};
  }
  if (run.pieces_wanted < 1 || run.pieces_wanted > kMostRunPieces) {
    return Failure{"run.pieces", "pieces", fmt::format("{} pieces", run.pieces_wanted),
                   fmt::format("1 to {}", kMostRunPieces)};
  }
  for (const RunStep& step : run.steps) {
    if (step.bend < 1) {
      return Failure{"run.steps", "bend", fmt::format("there is no bend {}", step.bend),
                     "bends count from 1 at end A"};
    }
    if (!bender_angle(step.wanted, 0.0)) return bad_angle("angle");
    if (!bender_angle(step.set, 0.0)) return bad_angle("set");
    if (step.tolerance && !(step.tolerance->deg() > 0.0 && step.tolerance->deg() <= 90.0)) {
      return Failure{"run.angle", "tolerance", "a tolerance lies above 0 and up to 90°",
                     "each way, in degrees"};
    }
  }
  for (const std::string* text :
       {&run.name, &run.part, &run.part_record, &run.bender, &run.material, &run.heat}) {
    BIGHT_TRY(const base::Done fits, check_text(*text, "", kLongestNote));
    static_cast<void>(fits);
  }
  return base::Done{};
}

Status check_event(const Run& run, const Event& event) {
  BIGHT_TRY(const base::Done named, check_key(event.key, "key"));
  static_cast<void>(named);
  BIGHT_TRY(const base::Done signed_by, check_text(event.by, "by", 32));
  static_cast<void>(signed_by);
  return std::visit(DeedCheck{run}, event.deed);
}

base::Result<Merge> take_events(Run& run, const std::vector<Event>& events) {
  std::map<std::string, Event> by_key;
  for (const Event& event : run.events) by_key.emplace(event.key, event);
  Merge merge;
  for (const Event& event : events) {
    const Status possible = check_event(run, event);
    if (!possible.ok()) return possible.failure();
    const auto [at, fresh] = by_key.emplace(event.key, event);
    if (fresh) {
      ++merge.added;
    } else if (at->second == event) {
      ++merge.known;
    } else {
      const bool earlier = comes_before(event, at->second);
      Clash clash{earlier ? event : at->second, earlier ? at->second : event};
      at->second = clash.kept;
      merge.clashes.push_back(std::move(clash));
    }
  }
  if (by_key.size() > kMostEvents) {
    return Failure{"run.full", "events", fmt::format("a run holds at most {} events", kMostEvents),
                   "end this run and start another for the rest of the pieces"};
  }
  run.events.clear();
  for (auto& [key, event] : by_key) run.events.push_back(std::move(event));
  std::sort(run.events.begin(), run.events.end(), comes_before);
  return merge;
}

}  // namespace bight::running
