#include "inspection/correction.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "inspection/correction_fit.h"
#include "inspection/correction_patterns.h"

namespace bight::inspection {

using base::Angle;
using base::Failure;
using part::Severity;

namespace {

// An entry is told when its error is below this share of the process's spread.
constexpr double kTold_ratio = 0.5;

base::Status check_request(const CorrectionRequest& request) {
  const std::size_t n = request.wanted.num_bends();
  const Measured& measured = request.measured;
  if (request.last.rows.size() != n || request.proportional_ratio.size() != n ||
      (!measured.bends.empty() && measured.bends.size() != n)) {
    return Failure{"correct.rows", measured.name,
                   fmt::format("the part has {} bends, the program {}, the piece {}", n,
                               request.last.rows.size(), measured.bends.size()),
                   "give one row for each bend, empty where it was not measured"};
  }
  if (!measured.any_bend() && !measured.any_point()) {
    return Failure{"correct.nothing", measured.name, "nothing was measured that a program changes",
                   "measure angles, straights, rotations, or ends and corners"};
  }
  bool fine = true;
  for (const double b : request.proportional_ratio) fine = fine && std::isfinite(b) && b < 1.0;
  for (const CommandedRow& row : request.last.rows) {
    fine = fine && std::isfinite(row.straight_mm + row.rotation.rad() + row.set.rad());
  }
  for (const MeasuredBend& bend : measured.bends) {
    fine = fine &&
           std::isfinite(bend.straight_mm.value_or(0.0) + bend.rotation.value_or(Angle()).rad() +
                         bend.angle.value_or(Angle()).rad());
  }
  for (const auto& point : measured.points_mm) fine = fine && (!point || point->allFinite());
  if (!fine) {
    return Failure{"correct.number", measured.name,
                   "a reading or a commanded value is no number that can be", "check the readings"};
  }
  return base::Done{};
}

// The program's value of an entry [mm or degrees].
double commanded(const Commanded& program, const EntryOf& entry) {
  if (entry.index >= program.rows.size()) return program.last_straight_mm;
  const CommandedRow& row = program.rows[entry.index];
  if (entry.entry == Entry::kStraight) return row.straight_mm;
  return entry.entry == Entry::kRotation ? row.rotation.deg() : row.set.deg();
}

void command(Commanded& program, const EntryOf& entry, double value) {
  if (entry.index >= program.rows.size()) {
    program.last_straight_mm = value;
    return;
  }
  CommandedRow& row = program.rows[entry.index];
  if (entry.entry == Entry::kStraight) row.straight_mm = value;
  if (entry.entry == Entry::kRotation) row.rotation = Angle::degrees(value).wrapped();
  if (entry.entry == Entry::kAngle) row.set = Angle::degrees(value);
}

double wanted_of(const geometry::BendTable& wanted, const EntryOf& entry) {
  if (entry.entry == Entry::kStraight) return wanted.straight_mm(entry.index);
  const geometry::BendRow& row = wanted.rows()[entry.index];
  return entry.entry == Entry::kRotation ? row.rotation.deg() : row.angle.deg();
}

std::string what_of(const EntryOf& entry, std::size_t num_bends) {
  if (entry.entry == Entry::kRotation) return fmt::format("rotation {}", entry.index + 1);
  if (entry.entry == Entry::kAngle) return fmt::format("set angle {}", entry.index + 1);
  return entry.index == num_bends ? "last straight" : fmt::format("feed {}", entry.index + 1);
}

Change change_of(const CorrectionRequest& request, const EntryOf& entry, const EntryError& found,
                 double reach_mm) {
  const bool length = entry.entry == Entry::kStraight;
  const double to_unit = length ? 1.0 : Angle::radians(1.0).deg();
  Change change;
  change.entry = entry;
  change.what = what_of(entry, request.wanted.num_bends());
  change.unit = length ? "mm" : "deg";
  change.wanted = wanted_of(request.wanted, entry);
  change.old_value = change.new_value = commanded(request.last, entry);
  if (!found.read) return change;
  const double off = found.off * to_unit;
  change.measured = change.wanted + off;
  change.error = 2.0 * found.sigma * to_unit;
  change.end_b_mm = reach_mm * std::abs(found.off);
  if (!(found.sigma < kTold_ratio * found.spread)) {
    change.left = Left::kWeak;
    change.why =
        found.weak_because.empty() ? "the points tell too little of it" : found.weak_because;
    return change;
  }
  if (std::abs(off) <= change.error) {
    change.left = Left::kRight;
    return change;
  }
  change.left = Left::kUsed;
  const double gain =
      entry.entry == Entry::kAngle ? 1.0 - request.proportional_ratio[entry.index] : 1.0;
  change.new_value = change.old_value - off / gain;
  return change;
}

void add_weak_finding(Correction& out) {
  std::string names;
  for (const Change& change : out.changes) {
    if (change.left != Left::kWeak) continue;
    names += fmt::format("{}{} ({})", names.empty() ? "" : "; ", change.what, change.why);
  }
  if (names.empty()) return;
  out.findings.push_back({Severity::kNote,
                          "correct.weak",
                          std::nullopt,
                          "left as they were, the readings cannot tell: " + names,
                          "measure these with something finer, or judge them by the far end",
                          "docs/theory/correction.md",
                          {}});
}

void add_none_finding(Correction& out) {
  const auto used = [](const Change& change) {
    return change.left == Left::kUsed || change.left == Left::kPattern;
  };
  if (std::any_of(out.changes.begin(), out.changes.end(), used)) return;
  out.findings.push_back({Severity::kNote,
                          "correct.none",
                          std::nullopt,
                          "nothing is off by more than the readings can tell",
                          "",
                          "",
                          {}});
}

}  // namespace

std::string_view words(Left left) {
  switch (left) {
    case Left::kUsed:
      return "corrected";
    case Left::kNotRead:
      return "not measured";
    case Left::kRight:
      return "right";
    case Left::kWeak:
      return "cannot be told";
    case Left::kPattern:
      return "see below";
  }
  return "";
}

base::Result<Correction> correct(const CorrectionRequest& request) {
  BIGHT_TRY(const base::Done done, check_request(request));
  static_cast<void>(done);
  BIGHT_TRY(const CorrectionFit fit, fit_entries(request));
  const std::vector<geometry::Vec3> reach = reach_of_end_b(request.wanted);
  const std::vector<EntryOf> all = entries(request.wanted);
  Correction out;
  for (std::size_t k = 0; k < all.size(); ++k) {
    out.changes.push_back(change_of(request, all[k], fit.errors[k], reach[k].norm()));
  }
  add_patterns(request, out);
  out.next = request.last;
  for (Change& change : out.changes) {
    if (change.left == Left::kUsed) {
      command(out.next, change.entry, change.new_value);
    } else {
      change.new_value = change.old_value;
    }
  }
  out.points_rms_mm = fit.points_rms_mm;
  if (fit.points_rms_mm) {
    std::vector<double> mended(all.size(), 0.0);
    for (std::size_t k = 0; k < all.size(); ++k) {
      mended[k] = fit.errors[k].off;
      if (out.changes[k].left == Left::kUsed) mended[k] = 0.0;
    }
    out.expected_rms_mm = rms_of_corners(request.wanted, shifted(request.wanted, mended));
  }
  add_weak_finding(out);
  add_none_finding(out);
  part::sort_by_weight(out.findings);
  return out;
}

}  // namespace bight::inspection
