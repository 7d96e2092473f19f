#include "records/archive.h"

#include <fmt/format.h>
#include <unistd.h>

#include <fstream>
#include <set>
#include <sstream>
#include <string_view>
#include <utility>

#include "records/archive_json.h"
#include "records/archive_zip.h"
#include "records/files.h"
#include "records/fingerprint.h"
#include "records/open.h"

namespace bight::records {

namespace {

using base::Done;
using base::Failure;
using base::Result;
using base::Status;

constexpr std::string_view kManifest = "bight.json";
constexpr std::string_view kRecordsFolder = "records/";
constexpr std::string_view kBlobsFolder = "blobs/";

std::string entry_name(const Revision& head) {
  return fmt::format("{}{}/{}.json", kRecordsFolder, kind_name(head.kind), head.id.text());
}

Failure bad_entry(const std::string& name, std::string message) {
  return Failure{"archive.layout", name, std::move(message), "Take the archive as Bight wrote it."};
}

// Whether this is records/<kind>/<id>.json, and nothing that only looks like it.
bool is_record_name(std::string_view name) {
  if (!name.starts_with(kRecordsFolder) || !name.ends_with(".json")) return false;
  name.remove_prefix(kRecordsFolder.size());
  name.remove_suffix(std::string_view(".json").size());
  const std::size_t slash = name.find('/');
  return slash != std::string_view::npos && kind_named(name.substr(0, slash)).ok() &&
         RecordId::parse(name.substr(slash + 1)).ok();
}

bool is_blob_name(std::string_view name) {
  return name.starts_with(kBlobsFolder) && BlobId::parse(name.substr(kBlobsFolder.size())).ok();
}

// Sums up what passes through it.
class Tally {
 public:
  void add(const Bundle& bundle) {
    ++inventory_.records;
    for (const Record& record : bundle.revisions) {
      fingerprint_.add(record);
      inventory_.change = std::max(inventory_.change, record.head.change);
      if (record.head.blob) blobs_.insert(*record.head.blob);
    }
  }
  const std::set<BlobId>& blobs() const { return blobs_; }
  Inventory inventory() const {
    Inventory out = inventory_;
    out.revisions = fingerprint_.num_revisions();
    out.blobs = static_cast<std::int64_t>(blobs_.size());
    out.fingerprint = fingerprint_.text();
    return out;
  }

 private:
  Inventory inventory_;
  Fingerprint fingerprint_;
  std::set<BlobId> blobs_;
};

Result<Inventory> write_zip(Store& store, const Scope& scope, const std::filesystem::path& path) {
  BIGHT_TRY(const auto zip, ZipWriter::create(path));
  Tally tally;
  const Status added = store.each_bundle(scope, [&](const Bundle& bundle) -> Status {
    tally.add(bundle);
    const std::string json = bundle_json(bundle);
    const std::string name = entry_name(bundle.revisions.front().head);
    if (json.size() > ArchiveLimits{}.json_max) {
      return Failure{"archive.size", name,
                     fmt::format("This record's revisions together have {} bytes.", json.size()),
                     "Back the shop up as a whole file instead."};
    }
    return zip->add(name, json);
  });
  if (!added.ok()) return added.failure();
  for (const BlobId& id : tally.blobs()) {
    const Status later = zip->add_later(std::string(kBlobsFolder) + id.text(),
                                        [&store, id] { return store.blob(id); });
    if (!later.ok()) return later.failure();
  }
  const Manifest manifest{.part = scope.part, .inventory = tally.inventory()};
  const Status last = zip->add(std::string(kManifest), manifest_json(manifest));
  if (!last.ok()) return last.failure();
  const Status closed = zip->close();
  if (!closed.ok()) return closed.failure();
  return manifest.inventory;
}

// What an archive holds, its names checked and its manifest read.
struct Contents {
  Manifest manifest;
  std::vector<ZipReader::Entry> records;
  std::vector<ZipReader::Entry> blobs;
};

Result<Contents> contents(ZipReader& zip, const ArchiveLimits& limits) {
  Contents out;
  const ZipReader::Entry* manifest = nullptr;
  for (const ZipReader::Entry& entry : zip.entries()) {
    if (entry.name == kManifest) {
      manifest = &entry;
    } else if (is_record_name(entry.name)) {
      out.records.push_back(entry);
    } else if (is_blob_name(entry.name)) {
      out.blobs.push_back(entry);
    } else {
      return bad_entry("", "The archive holds a file that does not belong into it.");
    }
    const std::uint64_t most = is_blob_name(entry.name) ? kLargestBlob : limits.json_max;
    if (entry.size > most) {
      return Failure{"archive.bomb", entry.name,
                     fmt::format("This entry would have {} bytes unpacked.", entry.size),
                     fmt::format("At most {} bytes.", most)};
    }
  }
  if (manifest == nullptr) return bad_entry("bight.json", "The archive does not say what it is.");
  BIGHT_TRY(const std::string text, zip.read(*manifest));
  BIGHT_TRY(out.manifest, read_manifest(text));
  return out;
}

Result<TakingReport> take_zip(Store& store, ZipReader& zip, Taking taking,
                              const ArchiveLimits& limits) {
  BIGHT_TRY(const Contents held, contents(zip, limits));
  std::size_t next_blob = 0;
  const BlobSource blobs = [&]() -> Result<std::optional<std::string>> {
    if (next_blob == held.blobs.size()) return std::optional<std::string>();
    const ZipReader::Entry& entry = held.blobs[next_blob++];
    BIGHT_TRY(std::string bytes, zip.read(entry));
    if (BlobId::of(bytes).text() != entry.name.substr(kBlobsFolder.size())) {
      return bad_content(entry.name, "The attachment is not what its name says.");
    }
    return std::optional<std::string>(std::move(bytes));
  };
  std::size_t next_record = 0;
  Tally tally;
  const BundleSource bundles = [&]() -> Result<std::optional<Bundle>> {
    if (next_record == held.records.size()) {
      const bool all =
          tally.inventory() == held.manifest.inventory && tally.blobs().size() == held.blobs.size();
      if (all) return std::optional<Bundle>();
      return bad_content(std::string(kManifest),
                         "The archive does not hold what it held when it was written.");
    }
    const ZipReader::Entry& entry = held.records[next_record++];
    BIGHT_TRY(const std::string text, zip.read(entry));
    BIGHT_TRY(Bundle bundle, read_bundle(text, entry.name));
    if (entry_name(bundle.revisions.front().head) != entry.name) {
      return bad_content(entry.name, "The record is not the one its name says.");
    }
    tally.add(bundle);
    return std::optional<Bundle>(std::move(bundle));
  };
  return store.take(blobs, bundles, taking);
}

// A path of its own in the folder for temporary files, removed at the end.
class TemporaryFile {
 public:
  TemporaryFile() {
    std::error_code ignored;
    name_ = (std::filesystem::temp_directory_path(ignored) / "bight-XXXXXX").string();
    const int file = ::mkstemp(name_.data());
    if (file >= 0) ::close(file);
  }
  TemporaryFile(const TemporaryFile&) = delete;
  TemporaryFile& operator=(const TemporaryFile&) = delete;
  ~TemporaryFile() { discard(name_); }
  std::filesystem::path path() const { return name_; }

 private:
  std::string name_;
};

}  // namespace

Result<Inventory> write_archive(Store& store, const Scope& scope,
                                const std::filesystem::path& path) {
  const std::filesystem::path working = unfinished(path);
  Result<Inventory> written = write_zip(store, scope, working);
  if (!written.ok()) {
    discard(working);
    return written;
  }
  const Status finished = finish_file(path, "archive.write");
  if (!finished.ok()) return finished.failure();
  return written;
}

Result<std::string> archive_bytes(Store& store, const Scope& scope) {
  const TemporaryFile file;
  const Result<Inventory> written = write_zip(store, scope, file.path());
  if (!written.ok()) return written.failure();
  std::ifstream stream(file.path(), std::ios::binary);
  std::ostringstream bytes;
  bytes << stream.rdbuf();
  if (!stream) {
    return Failure{"archive.read", file.path().string(), "The archive cannot be read back.",
                   "Look whether the folder for temporary files has room."};
  }
  return std::move(bytes).str();
}

Result<TakingReport> read_archive(Store& store, const std::filesystem::path& path, Taking taking,
                                  const ArchiveLimits& limits) {
  BIGHT_TRY(const auto zip, ZipReader::open(path, limits.entries_max, limits.bytes_max));
  return take_zip(store, *zip, taking, limits);
}

Result<TakingReport> read_archive_bytes(Store& store, const std::string& bytes, Taking taking,
                                        const ArchiveLimits& limits) {
  BIGHT_TRY(const auto zip, ZipReader::open_bytes(bytes, limits.entries_max, limits.bytes_max));
  return take_zip(store, *zip, taking, limits);
}

Result<Inventory> archive_inventory(const std::filesystem::path& path,
                                    const ArchiveLimits& limits) {
  const std::filesystem::path beside = std::filesystem::path(path) += ".looked";
  const auto remove = [&beside] {
    for (const char* end : {"", "-wal", "-shm"}) discard(std::filesystem::path(beside) += end);
  };
  remove();
  const Result<Inventory> found = [&]() -> Result<Inventory> {
    BIGHT_TRY(const auto store, open_store(beside.string(), {}));
    BIGHT_TRY(const TakingReport report, read_archive(*store, path, Taking::kAllOrNothing, limits));
    BIGHT_CHECK(report.written);
    return store->inventory();
  }();
  remove();
  return found;
}

}  // namespace bight::records
