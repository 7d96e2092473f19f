// The two slow answers of a forecast, kept for the bends asked about lately: a corner typed into a
// table asks for the whole plan again, and the metal has not changed.
#pragma once

#include <cstddef>
#include <list>
#include <mutex>
#include <optional>

#include "base/result.h"
#include "mechanics/band.h"
#include "mechanics/ovality.h"
#include "stock/material.h"
#include "stock/section.h"

namespace bight::planning {

// All that the slow answers depend on.
struct MetalQuestion {
  stock::Section section;
  stock::Material material;
  double die_radius_mm = 0.0;
  bool mandrel = false;
  double groove_height_mm = 0.0;

  friend bool operator==(const MetalQuestion&, const MetalQuestion&) = default;
};

struct MetalSlowAnswers {
  base::Result<mechanics::BendBand> band;
  std::optional<base::Result<mechanics::OvalityForecast>> ovality;  // of round tube
};

// Answers are the same with and without it. May be asked by several threads at once; the one asked
// for longest ago is forgotten first.
class MetalMemory {
 public:
  explicit MetalMemory(std::size_t most) : most_(most) {}

  template <typename WorkOut>
  MetalSlowAnswers answer(const MetalQuestion& question, const WorkOut& work_out) {
    if (std::optional<MetalSlowAnswers> known = find(question)) return *std::move(known);
    MetalSlowAnswers found = work_out();  // without the lock: others go on meanwhile
    keep(question, found);
    return found;
  }

 private:
  struct Kept {
    MetalQuestion question;
    MetalSlowAnswers answers;
  };

  std::optional<MetalSlowAnswers> find(const MetalQuestion& question);
  void keep(const MetalQuestion& question, const MetalSlowAnswers& answers);

  std::size_t most_;
  std::mutex mutex_;
  std::list<Kept> kept_;  // last asked first
};

}  // namespace bight::planning
