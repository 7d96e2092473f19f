// A run of pieces as it happened: what was to be bent, and keyed events.
//
// The events are a set. Their keys name them, so an event that comes twice counts once, and two
// sets are merged by putting them together, in any order. What the run has come to is worked out
// from the set (run_state.h) and never stored beside it: after a power cut nothing has to be
// mended.
#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "base/angle.h"
#include "base/result.h"
#include "running/moment.h"

namespace bight::running {

inline constexpr int kMostRunPieces = 10'000;
inline constexpr int kMostRunSteps = 200;
inline constexpr std::size_t kMostEvents = 5'000;
inline constexpr std::size_t kLongestKey = 128;
inline constexpr std::size_t kLongestNote = 1'000;

// One bend of every piece, in the order of working.
struct RunStep {
  int bend = 0;  // number of the bend counted from end A of the part
  std::string die;
  base::Angle wanted;                    // finished
  base::Angle set;                       // keyed in at the start of the run
  std::optional<base::Angle> tolerance;  // each way
  bool operator==(const RunStep&) const = default;
};

// kPiece: all bends of a piece, then the next piece. kBend: one bend on all pieces, then the next
// bend.
enum class Walk { kPiece, kBend };

// A piece is begun, or taken up again, with metal of this heat.
struct PieceBegun {
  int piece = 0;
  std::string heat;
  bool operator==(const PieceBegun&) const = default;
};

// The machine was pressed once. Several hits may make one bend.
struct Hit {
  int piece = 0, step = 0;
  base::Angle set;
  std::optional<base::Angle> read;  // angle once the tube is free
  bool operator==(const Hit&) const = default;
};

struct BendDone {
  int piece = 0, step = 0;
  bool operator==(const BendDone&) const = default;
};

// A finished angle measured.
struct AngleMeasured {
  int piece = 0, step = 0;
  base::Angle angle;
  bool operator==(const AngleMeasured&) const = default;
};

enum class Verdict { kGood, kRework, kScrap };

struct PieceFinished {
  int piece = 0;
  Verdict verdict = Verdict::kGood;
  std::string reason;
  bool operator==(const PieceFinished&) const = default;
};

// From this piece on the step is set to another angle.
struct SetChanged {
  int step = 0;
  int from_piece = 0;
  base::Angle set;
  bool operator==(const SetChanged&) const = default;
};

// A line of the set-up checklist, ticked or unticked.
struct ItemChecked {
  std::string item;
  bool done = true;
  bool operator==(const ItemChecked&) const = default;
};

// One answer along the trouble guide.
struct TroubleAnswered {
  std::string symptom, question, answer;
  bool operator==(const TroubleAnswered&) const = default;
};

// Piece and step 0: about the whole run, the whole piece.
struct Noted {
  int piece = 0, step = 0;
  std::string text;
  bool operator==(const Noted&) const = default;
};

// The event of this key counts no more. Taking back does not take back itself: do the thing again
// under a new key.
struct TakenBack {
  std::string of;
  bool operator==(const TakenBack&) const = default;
};

struct RunEnded {
  bool operator==(const RunEnded&) const = default;
};

using Deed = std::variant<PieceBegun, Hit, BendDone, AngleMeasured, PieceFinished, SetChanged,
                          ItemChecked, TroubleAnswered, Noted, TakenBack, RunEnded>;

struct Event {
  std::string key;  // 1 to kLongestKey printable ASCII characters
  Moment at;
  std::string by;  // initials; may be empty
  Deed deed;
  bool operator==(const Event&) const = default;
};

// The order in which events count: by time, then by key, then by content, so that it is the same
// on every device.
bool comes_before(const Event& a, const Event& b);

struct Run {
  std::string name;
  std::string part;         // its name
  std::string part_record;  // its id among the shop's records; may be empty
  std::string bender;
  std::string material;
  std::string heat;  // of the first pieces
  int pieces_wanted = 1;
  Walk walk = Walk::kPiece;
  std::vector<RunStep> steps;
  std::vector<Event> events;  // no two with the same key, in the order of comes_before
};

// Whether a run and an event can be: steps and pieces that exist, angles a bender has, texts of
// the lengths above. Failure codes: run.steps, run.pieces, run.angle, run.text; for an event
// run.key, run.piece, run.step, run.angle, run.text.
base::Status check_run(const Run& run);
base::Status check_event(const Run& run, const Event& event);

// Two events of one key that say different things. The one that comes before stays.
struct Clash {
  Event kept, left;
};

struct Merge {
  int added = 0;
  int known = 0;  // were there already
  std::vector<Clash> clashes;
};

// Puts events into the run. Taking the same again changes nothing; two lots taken in either order
// give the same run. All or none are taken.
// Failure codes: those of check_event; run.full (more than kMostEvents).
base::Result<Merge> take_events(Run& run, const std::vector<Event>& events);

}  // namespace bight::running
