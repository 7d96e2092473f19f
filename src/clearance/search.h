// The certified search: how near does a moving tube come to convex obstacles, over all of a motion?
//
// Branch and bound over time, along the tube, and over meshes. At the middle of each span of time
// one touched point gives a plane (convex.h, c1) that keeps its say for the whole span, because
// where a point is carried by the motion is known in closed form. docs/theory/clearance.md proves
// the bounds m2 to m4 used here.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "clearance/motion.h"
#include "clearance/obstacle.h"
#include "clearance/rope.h"

namespace bight::clearance {

// Stretches of tube that move together against obstacles that stand still, or against other
// stretches of the tube that stand still.
struct Contest {
  const std::vector<Rope>* ropes = nullptr;
  Motion motion;
  const Obstacles* obstacles = nullptr;
  const std::vector<Rope>* others = nullptr;
  std::size_t skip_first = 0;  // ropes at the front of the list that do not take part
  std::size_t skip_last = 0;   // ropes at its end
  // With others: bending between two places is between_rad + the two places' own turned_rad; places
  // with less than a half turn between them cannot touch by themselves and are left out.
  double between_rad = 0.0;
  double spread_mm = 0.0;  // the true stretch lies within this of the one given
  int tag = 0;             // the caller's
};

struct SearchOptions {
  double tube_radius_mm = 0.0;
  double tolerance_mm = 0.1;
  double interest_mm = 1000.0;
  // Stop at the first certain overlap; do not look closer at what is further off than this.
  std::optional<double> only_whether_within_mm;
};

struct Found {
  double low_mm = 0.0;   // certified over all contests
  double high_mm = 0.0;  // taken by the place below
  int tag = 0;
  double share_ratio = 0.0;                            // of the motion
  const Obstacle* obstacle = nullptr;                  // none: the tube itself
  double along_mm = 0.0;                               // from end A of the blank
  double other_along_mm = 0.0;                         // of the other stretch
  geometry::Vec3 on_tube_mm = geometry::Vec3::Zero();  // centreline, as the obstacle sees it
  geometry::Vec3 away = geometry::Vec3::Zero();        // from the obstacle towards the tube
};

struct SearchCount {
  std::size_t pairs = 0;    // stretches and obstacles whose boxes come near
  std::size_t touches = 0;  // distances worked out
  std::size_t spans = 0;    // spans of time and tube looked at
};

// Keeps its memory between runs. Not for two threads at once.
class Search {
 public:
  Search();
  ~Search();
  Search(Search&&) noexcept;
  Search& operator=(Search&&) noexcept;

  // The nearest place over all contests; nothing when none comes within interest_mm. Otherwise
  // low_mm <= true distance <= high_mm, and high_mm - low_mm <= tolerance unless only_whether
  // stopped it before, or a million spans were not enough (low stays certified), or a contest's
  // own spread is larger.
  std::optional<Found> run(const std::vector<Contest>& contests, const SearchOptions& options);
  const SearchCount& count() const;  // of the last run

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace bight::clearance
