// What a run has come to, worked out from its events.
#pragma once

#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "running/run.h"

namespace bight::running {

struct HitMade {
  std::string key;
  Moment at;
  std::string by;
  base::Angle set;
  std::optional<base::Angle> read;
};

struct BendState {
  std::vector<HitMade> hits;
  std::vector<base::Angle> measured;  // in order of time
  bool done = false;
  // The finished angle: the last one measured, else what the last hit that was read came to.
  std::optional<base::Angle> finished() const;
};

struct PieceState {
  std::string heat;                // as said when it was begun, else as the piece before
  std::map<int, BendState> bends;  // by step; only those something is known of
  bool begun = false;
  std::optional<Verdict> verdict;
  std::string reason;
  std::optional<Moment> first_at, last_at;
};

// What the operator does next.
struct NextBend {
  int piece = 0;
  int step = 0;
  int bend = 0;  // as numbered from end A
  std::string die;
  base::Angle wanted;
  base::Angle set;  // in force for this piece
  int hits = 0;     // made already
};

struct RunState {
  std::map<int, PieceState> pieces;  // only those something is known of
  int good = 0, rework = 0, scrap = 0;
  std::optional<NextBend> next;  // absent: all done, or the run was ended
  // Piece whose bends are all done, waiting to be accepted.
  std::optional<int> to_finish;
  bool ended = false;
  std::set<std::string> checked;  // items of the checklist that are ticked
  std::vector<const Event*> troubles;
  std::vector<const Event*> notes;
  std::optional<Moment> first_at, last_at;
  std::size_t taken_back = 0;  // events that count no more
};

// Pure: the same events give the same state, in whatever order they came. The state points into
// the run, which must outlive it. An end counts for what came before it: work after it takes the
// run up again.
RunState state_of(const Run& run);

// Angle to which a step is set on a piece: the latest change that holds for it.
base::Angle set_in_force(const Run& run, int step, int piece);

// One finished bend of the run, in order of pieces.
struct BendOutcome {
  int piece = 0;
  int step = 0;
  std::string heat;
  base::Angle wanted;
  base::Angle finished;
  std::optional<base::Angle> set;  // of the last hit
  int hits = 0;
  base::Angle off() const { return finished - wanted; }
  // Lost when the tube came free: set less finished.
  std::optional<base::Angle> springback() const;
};

// Every bend whose finished angle is known, by piece and step; step 0: of all steps. Scrapped
// pieces count: they are what the run did, too.
std::vector<BendOutcome> outcomes_of(const Run& run, const RunState& state, int step = 0);

}  // namespace bight::running
