#include "records/fingerprint.h"

#include <fmt/format.h>
#include <sodium.h>

#include <algorithm>
#include <string_view>

namespace bight::records {

namespace {

using Hash = std::array<unsigned char, crypto_hash_sha256_BYTES>;

class Hasher {
 public:
  Hasher() { crypto_hash_sha256_init(&state_); }
  void bytes(const void* data, std::size_t size) {
    crypto_hash_sha256_update(&state_, static_cast<const unsigned char*>(data), size);
  }
  void field(std::string_view text) {
    const std::string length = fmt::format("{}:", text.size());
    bytes(length.data(), length.size());
    bytes(text.data(), text.size());
  }
  Hash finished() {
    Hash out{};
    crypto_hash_sha256_final(&state_, out.data());
    return out;
  }

 private:
  crypto_hash_sha256_state state_{};
};

std::string hex(const Hash& hash) {
  std::string out;
  for (const unsigned char byte : hash) out += fmt::format("{:02x}", byte);
  return out;
}

}  // namespace

std::string hash_of(const std::vector<std::string>& fields) {
  Hasher hasher;
  for (const std::string& field : fields) hasher.field(field);
  return hex(hasher.finished());
}

void Fingerprint::add(const Record& record) {
  const Revision& head = record.head;
  Hasher hasher;
  hasher.field(kind_name(head.kind));
  hasher.field(head.id.text());
  hasher.field(fmt::format("{} {} {} {} {}", head.revision, head.change, head.content_of,
                           head.at.time_since_epoch().count(), head.withdrawn ? 1 : 0));
  hasher.field(deed_name(head.deed));
  hasher.field(head.by);
  hasher.field(head.part ? head.part->text() : "");
  hasher.field(head.blob ? head.blob->text() : "");
  hasher.field(record.document);
  hashes_.emplace_back(head.change, hasher.finished());
}

std::string Fingerprint::text() const {
  auto ordered = hashes_;
  std::sort(ordered.begin(), ordered.end());
  Hasher hasher;
  for (const auto& [change, hash] : ordered) hasher.bytes(hash.data(), hash.size());
  return hex(hasher.finished());
}

}  // namespace bight::records
