#include "running/run_state.h"

#include <algorithm>

namespace bight::running {

using base::Angle;

namespace {

// Applies the deeds in order of time.
class Reducer {
 public:
  explicit Reducer(RunState& state) : state_(state) {}

  void apply(const Event& event) {
    event_ = &event;
    if (!state_.first_at) state_.first_at = event.at;
    state_.last_at = event.at;
    std::visit(*this, event.deed);
  }

  void operator()(const PieceBegun& deed) {
    PieceState& piece = piece_of(deed.piece);
    piece.begun = true;
    if (!deed.heat.empty()) piece.heat = deed.heat;
  }
  void operator()(const Hit& deed) {
    bend_of(deed.piece, deed.step)
        .hits.push_back({event_->key, event_->at, event_->by, deed.set, deed.read});
  }
  void operator()(const BendDone& deed) { bend_of(deed.piece, deed.step).done = true; }
  void operator()(const AngleMeasured& deed) {
    bend_of(deed.piece, deed.step).measured.push_back(deed.angle);
  }
  void operator()(const PieceFinished& deed) {
    PieceState& piece = piece_of(deed.piece);
    piece.verdict = deed.verdict;
    piece.reason = deed.reason;
  }
  void operator()(const SetChanged&) { state_.ended = false; }
  void operator()(const ItemChecked& deed) {
    if (deed.done) {
      state_.checked.insert(deed.item);
    } else {
      state_.checked.erase(deed.item);
    }
  }
  void operator()(const TroubleAnswered&) { state_.troubles.push_back(event_); }
  void operator()(const Noted&) { state_.notes.push_back(event_); }
  void operator()(const TakenBack&) {}
  void operator()(const RunEnded&) { state_.ended = true; }

 private:
  PieceState& piece_of(int number) {
    state_.ended = false;
    PieceState& piece = state_.pieces[number];
    if (!piece.first_at) piece.first_at = event_->at;
    piece.last_at = event_->at;
    return piece;
  }
  BendState& bend_of(int piece, int step) { return piece_of(piece).bends[step]; }

  RunState& state_;
  const Event* event_ = nullptr;
};

// Heats carry on from piece to piece.
void carry_heats(const Run& run, RunState& state) {
  std::string heat = run.heat;
  for (auto& [number, piece] : state.pieces) {
    if (piece.heat.empty()) piece.heat = heat;
    heat = piece.heat;
  }
}

void count_verdicts(RunState& state) {
  for (const auto& [number, piece] : state.pieces) {
    if (!piece.verdict) continue;
    state.good += *piece.verdict == Verdict::kGood;
    state.rework += *piece.verdict == Verdict::kRework;
    state.scrap += *piece.verdict == Verdict::kScrap;
  }
}

const BendState* bend_at(const RunState& state, int piece, int step) {
  const auto at = state.pieces.find(piece);
  if (at == state.pieces.end()) return nullptr;
  const auto bend = at->second.bends.find(step);
  return bend == at->second.bends.end() ? nullptr : &bend->second;
}

bool closed(const RunState& state, int piece) {
  const auto at = state.pieces.find(piece);
  return at != state.pieces.end() && at->second.verdict.has_value();
}

bool done(const RunState& state, int piece, int step) {
  const BendState* bend = bend_at(state, piece, step);
  return bend != nullptr && bend->done;
}

// First step of the piece that is not done; 0 when all are.
int first_open_step(const Run& run, const RunState& state, int piece) {
  const int num_steps = static_cast<int>(run.steps.size());
  for (int step = 1; step <= num_steps; ++step) {
    if (!done(state, piece, step)) return step;
  }
  return 0;
}

// Pieces still to be worked on: as many as are wanted beside those scrapped, and any begun.
std::vector<int> open_pieces(const Run& run, const RunState& state) {
  std::vector<int> open;
  const int missing = run.pieces_wanted - state.good - state.rework;
  for (int piece = 1; piece <= kMostRunPieces && static_cast<int>(open.size()) < missing; ++piece) {
    if (!closed(state, piece)) open.push_back(piece);
  }
  for (const auto& [piece, known] : state.pieces) {
    const bool begun = known.begun || !known.bends.empty();
    if (begun && !known.verdict && !std::binary_search(open.begin(), open.end(), piece)) {
      open.insert(std::upper_bound(open.begin(), open.end(), piece), piece);
    }
  }
  return open;
}

void find_next(const Run& run, RunState& state) {
  const std::vector<int> open = open_pieces(run, state);
  int piece_next = 0;
  int step_next = 0;
  for (const int piece : open) {
    const int step = first_open_step(run, state, piece);
    if (step == 0) {
      if (!state.to_finish) state.to_finish = piece;
      // Its verdict comes before the next piece is begun, where pieces are bent through.
      if (run.walk == Walk::kPiece) break;
      continue;
    }
    if (piece_next == 0 || step < step_next) {
      piece_next = piece;
      step_next = step;
    }
    if (run.walk == Walk::kPiece) break;
  }
  if (piece_next == 0 || state.ended) return;
  const RunStep& wish = run.steps[static_cast<std::size_t>(step_next - 1)];
  const BendState* bend = bend_at(state, piece_next, step_next);
  state.next = NextBend{piece_next,
                        step_next,
                        wish.bend,
                        wish.die,
                        wish.wanted,
                        set_in_force(run, step_next, piece_next),
                        bend == nullptr ? 0 : static_cast<int>(bend->hits.size())};
}

std::set<std::string> keys_taken_back(const Run& run) {
  std::set<std::string> keys;
  for (const Event& event : run.events) {
    if (const auto* back = std::get_if<TakenBack>(&event.deed)) keys.insert(back->of);
  }
  return keys;
}

bool counts(const Event& event, const std::set<std::string>& taken_back) {
  return std::holds_alternative<TakenBack>(event.deed) || !taken_back.contains(event.key);
}

}  // namespace

std::optional<Angle> BendState::finished() const {
  if (!measured.empty()) return measured.back();
  for (auto hit = hits.rbegin(); hit != hits.rend(); ++hit) {
    if (hit->read) return hit->read;
  }
  return std::nullopt;
}

Angle set_in_force(const Run& run, int step, int piece) {
  Angle set = run.steps[static_cast<std::size_t>(step - 1)].set;
  const std::set<std::string> taken_back = keys_taken_back(run);
  int latest_from = 0;
  for (const Event& event : run.events) {
    const auto* change = std::get_if<SetChanged>(&event.deed);
    if (change == nullptr || change->step != step || change->from_piece > piece ||
        change->from_piece < latest_from || !counts(event, taken_back)) {
      continue;
    }
    latest_from = change->from_piece;
    set = change->set;
  }
  return set;
}

RunState state_of(const Run& run) {
  RunState state;
  const std::set<std::string> taken_back = keys_taken_back(run);
  Reducer reducer(state);
  for (const Event& event : run.events) {
    if (counts(event, taken_back)) {
      reducer.apply(event);
    } else {
      ++state.taken_back;
    }
  }
  carry_heats(run, state);
  count_verdicts(state);
  find_next(run, state);
  return state;
}

std::optional<Angle> BendOutcome::springback() const {
  if (!set) return std::nullopt;
  return *set - finished;
}

std::vector<BendOutcome> outcomes_of(const Run& run, const RunState& state, int step) {
  std::vector<BendOutcome> out;
  for (const auto& [number, piece] : state.pieces) {
    for (const auto& [at, bend] : piece.bends) {
      const std::optional<Angle> finished = bend.finished();
      if ((step != 0 && at != step) || !finished) continue;
      BendOutcome outcome{number,
                          at,
                          piece.heat,
                          run.steps[static_cast<std::size_t>(at - 1)].wanted,
                          *finished,
                          {},
                          static_cast<int>(bend.hits.size())};
      if (!bend.hits.empty()) outcome.set = bend.hits.back().set;
      out.push_back(std::move(outcome));
    }
  }
  return out;
}

}  // namespace bight::running
