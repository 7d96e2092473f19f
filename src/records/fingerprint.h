// One hash over many revisions.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <utility>
#include <vector>

#include "records/record.h"

namespace bight::records {

// SHA-256 over what a list of fields says, each field's length before it, so that no two lists say
// the same. 64 hex digits.
std::string hash_of(const std::vector<std::string>& fields);

// Gathers revisions in any order; the hash is over them in the order of change. The format is
// written down in docs/formats/archive.md.
class Fingerprint {
 public:
  void add(const Record& record);
  std::int64_t num_revisions() const { return static_cast<std::int64_t>(hashes_.size()); }
  std::string text() const;

 private:
  std::vector<std::pair<std::int64_t, std::array<unsigned char, 32>>> hashes_;  // change, its hash
};

}  // namespace bight::records
