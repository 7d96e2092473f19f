#include "exchange/complaints.h"

#include <algorithm>

#include "base/check.h"

namespace bight::exchange {

namespace {

thread_local Complaints* mine = nullptr;

}  // namespace

Complaints::Complaints() {
  BIGHT_CHECK(mine == nullptr);
  mine = this;
}

Complaints::~Complaints() { mine = nullptr; }

Complaints* Complaints::present() { return mine; }

void Complaints::add(const base::Failure& failure) {
  const bool known = std::any_of(kept_.begin(), kept_.end(), [&](const base::Failure& other) {
    return other.where == failure.where && other.code == failure.code;
  });
  if (!known) kept_.push_back(failure);
}

}  // namespace bight::exchange
