#include "records/record.h"

#include <fmt/format.h>
#include <sodium.h>

#include <algorithm>
#include <array>
#include <utility>

namespace bight::records {

namespace {

using base::Failure;
using base::Result;

constexpr std::array<std::string_view, kNumKinds> kKindNames{
    "part",   "bender", "die_set",     "trial", "tube",        "heat",   "material",
    "person", "house",  "plan_choice", "run",   "measurement", "lesson", "attachment"};
constexpr std::array<std::string_view, 4> kDeedNames{"put", "undo", "withdraw", "restore"};

// Digits and letters in the order of their bytes, without those that are misread.
constexpr std::string_view kLetters = "0123456789abcdefghjkmnpqrstvwxyz";
constexpr int kMomentLetters = 9;
constexpr int kRandomLetters = 7;
constexpr std::size_t kIdLongest = 64;

std::string shown(std::string_view text) {
  constexpr std::size_t kEnough = 80;
  std::string out;
  for (const char c : text.substr(0, kEnough)) {
    const auto byte = static_cast<unsigned char>(c);
    out += byte >= 0x20 && byte < 0x7f ? c : '?';
  }
  return text.size() > kEnough ? out + "..." : out;
}

}  // namespace

std::string_view kind_name(Kind kind) { return kKindNames.at(static_cast<std::size_t>(kind)); }

Result<Kind> kind_named(std::string_view name) {
  const auto at = std::find(kKindNames.begin(), kKindNames.end(), name);
  if (at == kKindNames.end()) {
    return Failure{"record.kind", "", fmt::format("There are no records called {}.", shown(name)),
                   fmt::format("One of: {}.", fmt::join(kKindNames, ", "))};
  }
  return static_cast<Kind>(at - kKindNames.begin());
}

std::string_view deed_name(Deed deed) { return kDeedNames.at(static_cast<std::size_t>(deed)); }

Result<Deed> deed_named(std::string_view name) {
  const auto at = std::find(kDeedNames.begin(), kDeedNames.end(), name);
  if (at == kDeedNames.end()) {
    return Failure{"record.deed", "", fmt::format("{} is nothing done to a record.", shown(name)),
                   fmt::format("One of: {}.", fmt::join(kDeedNames, ", "))};
  }
  return static_cast<Deed>(at - kDeedNames.begin());
}

Result<RecordId> RecordId::parse(std::string_view text) {
  const bool sound =
      !text.empty() && text.size() <= kIdLongest &&
      std::all_of(text.begin(), text.end(), [](char c) {
        return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-' || c == '_';
      });
  if (!sound) {
    return Failure{"record.id", "",
                   fmt::format("\"{}\" cannot be the id of a record.", shown(text)),
                   "1 to 64 of the letters a-z, the digits 0-9, - and _."};
  }
  return RecordId(std::string(text));
}

RecordId RecordId::fresh(Instant at, std::uint64_t random_bits) {
  std::string text(kMomentLetters + kRandomLetters, '0');
  auto moment =
      static_cast<std::uint64_t>(std::max<std::int64_t>(0, at.time_since_epoch().count()));
  for (int i = kMomentLetters - 1; i >= 0; --i, moment /= kLetters.size()) {
    text[static_cast<std::size_t>(i)] = kLetters[moment % kLetters.size()];
  }
  for (int i = 0; i < kRandomLetters; ++i, random_bits /= kLetters.size()) {
    text[static_cast<std::size_t>(kMomentLetters + i)] = kLetters[random_bits % kLetters.size()];
  }
  return RecordId(std::move(text));
}

Result<BlobId> BlobId::parse(std::string_view text) {
  const bool sound = text.size() == 2 * crypto_hash_sha256_BYTES &&
                     std::all_of(text.begin(), text.end(), [](char c) {
                       return (c >= 'a' && c <= 'f') || (c >= '0' && c <= '9');
                     });
  if (!sound) {
    return Failure{"blob.id", "", fmt::format("\"{}\" is not the name of kept bytes.", shown(text)),
                   "A SHA-256 in 64 hex digits, 0-9 and a-f."};
  }
  return BlobId(std::string(text));
}

BlobId BlobId::of(std::string_view bytes) {
  std::array<unsigned char, crypto_hash_sha256_BYTES> hash{};
  crypto_hash_sha256(hash.data(), reinterpret_cast<const unsigned char*>(bytes.data()),
                     bytes.size());
  std::string text;
  for (const unsigned char byte : hash) text += fmt::format("{:02x}", byte);
  return BlobId(std::move(text));
}

bool operator==(const Revision& a, const Revision& b) {
  return a.kind == b.kind && a.id == b.id && a.revision == b.revision && a.change == b.change &&
         a.deed == b.deed && a.content_of == b.content_of && a.at == b.at && a.by == b.by &&
         a.withdrawn == b.withdrawn && a.part == b.part && a.blob == b.blob;
}

bool Record::operator==(const Record& other) const {
  return head == other.head && document == other.document;
}

}  // namespace bight::records
