#include "planning/metal_memory.h"

#include <algorithm>

namespace bight::planning {

std::optional<MetalSlowAnswers> MetalMemory::find(const MetalQuestion& question) {
  const std::lock_guard lock(mutex_);
  const auto at = std::ranges::find(kept_, question, &Kept::question);
  if (at == kept_.end()) return std::nullopt;
  kept_.splice(kept_.begin(), kept_, at);
  return at->answers;
}

void MetalMemory::keep(const MetalQuestion& question, const MetalSlowAnswers& answers) {
  const std::lock_guard lock(mutex_);
  if (std::ranges::find(kept_, question, &Kept::question) != kept_.end()) return;
  kept_.push_front({question, answers});
  if (kept_.size() > most_) kept_.pop_back();
}

}  // namespace bight::planning
