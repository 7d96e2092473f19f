#include "records/archive_zip.h"

#include <fmt/format.h>
#include <zip.h>

#include <algorithm>
#include <cstdio>
#include <cstring>
#include <optional>
#include <set>
#include <utility>

#include "records/files.h"
#include "records/text_rules.h"

namespace bight::records {

namespace {

using base::Done;
using base::Failure;
using base::Result;
using base::Status;

// 1 January 1980, 0:00, the first moment of the format.
constexpr zip_uint16_t kFirstDay = (1U << 5U) | 1U;
// Local header before each entry's bytes, without its name (APPNOTE 6.3.9, 4.3.7).
constexpr std::uint64_t kLocalHeader = 30;

Failure archive_not_written(const std::filesystem::path& path, const std::string& why) {
  return Failure{"archive.write", path.string(),
                 fmt::format("The archive cannot be written: {}.", why),
                 "Look whether the folder is there, may be written and has room."};
}

Failure not_read(const std::string& where, const std::string& why) {
  return Failure{"archive.read", where, fmt::format("The archive cannot be read: {}.", why),
                 "Fetch it again from where it was written; it may be cut off."};
}

Failure bad_layout(const std::string& name, std::string message) {
  return Failure{"archive.layout", cleaned(name.substr(0, 120)), std::move(message),
                 "Take the archive as Bight wrote it."};
}

Failure bomb(std::string message) {
  return Failure{"archive.bomb", "", std::move(message),
                 "Take the archive as Bight wrote it; a very large shop is brought over in parts."};
}

std::string words(const zip_error_t& error) {
  zip_error_t copy = error;
  return zip_error_strerror(&copy);
}

// An entry whose bytes are fetched when the file is written.
struct Later {
  std::function<Result<std::string>()> fetch;
  std::optional<Failure>* failure = nullptr;
  std::string bytes;
  std::size_t read = 0;
  zip_error_t error{};
};

zip_int64_t later_bytes(void* user, void* data, zip_uint64_t length, zip_source_cmd_t command) {
  Later& later = *static_cast<Later*>(user);
  switch (command) {
    case ZIP_SOURCE_OPEN: {
      Result<std::string> fetched = later.fetch();
      if (!fetched.ok()) {
        *later.failure = fetched.failure();
        zip_error_set(&later.error, ZIP_ER_READ, 0);
        return -1;
      }
      later.bytes = std::move(fetched).value();
      later.read = 0;
      return 0;
    }
    case ZIP_SOURCE_READ: {
      const std::size_t count = std::min<std::size_t>(length, later.bytes.size() - later.read);
      std::memcpy(data, later.bytes.data() + later.read, count);
      later.read += count;
      return static_cast<zip_int64_t>(count);
    }
    case ZIP_SOURCE_CLOSE:
      std::string().swap(later.bytes);
      return 0;
    case ZIP_SOURCE_STAT: {
      auto* stat = static_cast<zip_stat_t*>(data);
      zip_stat_init(stat);
      return sizeof(zip_stat_t);
    }
    case ZIP_SOURCE_ERROR:
      return zip_error_to_data(&later.error, data, length);
    case ZIP_SOURCE_FREE:
      return 0;
    case ZIP_SOURCE_SUPPORTS:
      return zip_source_make_command_bitmap(ZIP_SOURCE_OPEN, ZIP_SOURCE_READ, ZIP_SOURCE_CLOSE,
                                            ZIP_SOURCE_STAT, ZIP_SOURCE_ERROR, ZIP_SOURCE_FREE, -1);
    default:
      zip_error_set(&later.error, ZIP_ER_OPNOTSUPP, 0);
      return -1;
  }
}

}  // namespace

// Entries at hand wait in one file beside the archive, so that a large shop needs no memory.
struct ZipWriter::Parts {
  ~Parts() {
    if (zip != nullptr) zip_discard(zip);
    if (waiting != nullptr) std::fclose(waiting);
    discard(waiting_path);
  }

  std::filesystem::path path;
  std::filesystem::path waiting_path;
  zip_t* zip = nullptr;
  std::FILE* waiting = nullptr;
  std::uint64_t waiting_size = 0;
  std::vector<std::unique_ptr<Later>> later;
  std::optional<Failure> failure;
};

ZipWriter::ZipWriter(std::unique_ptr<Parts> parts) : parts_(std::move(parts)) {}
ZipWriter::~ZipWriter() = default;

Result<std::unique_ptr<ZipWriter>> ZipWriter::create(const std::filesystem::path& path) {
  auto parts = std::make_unique<Parts>();
  parts->path = path;
  parts->waiting_path = std::filesystem::path(path) += ".waiting";
  parts->waiting = std::fopen(parts->waiting_path.c_str(), "wbe");
  if (parts->waiting == nullptr) return archive_not_written(path, std::strerror(errno));
  int error = 0;
  parts->zip = zip_open(path.c_str(), ZIP_CREATE | ZIP_TRUNCATE, &error);
  if (parts->zip == nullptr) {
    zip_error_t known;
    zip_error_init_with_code(&known, error);
    return archive_not_written(path, words(known));
  }
  return std::unique_ptr<ZipWriter>(new ZipWriter(std::move(parts)));
}

namespace {

Status add_source(zip_t* zip, const std::filesystem::path& path, const std::string& name,
                  zip_source_t* source) {
  const zip_int64_t index = source == nullptr ? -1 : zip_file_add(zip, name.c_str(), source, 0);
  if (index < 0) {
    zip_source_free(source);
    return archive_not_written(path, zip_strerror(zip));
  }
  const auto entry = static_cast<zip_uint64_t>(index);
  zip_file_set_dostime(zip, entry, 0, kFirstDay, 0);
  zip_file_set_external_attributes(zip, entry, 0, ZIP_OPSYS_UNIX, 0100644U << 16U);
  return Done{};
}

}  // namespace

Status ZipWriter::add(const std::string& name, const std::string& bytes) {
  // The library looks at once whether the file is as long as it is told.
  if (std::fwrite(bytes.data(), 1, bytes.size(), parts_->waiting) != bytes.size() ||
      std::fflush(parts_->waiting) != 0) {
    return archive_not_written(parts_->path, std::strerror(errno));
  }
  zip_source_t* source =
      zip_source_file(parts_->zip, parts_->waiting_path.c_str(), parts_->waiting_size,
                      static_cast<zip_int64_t>(bytes.size()));
  parts_->waiting_size += bytes.size();
  return add_source(parts_->zip, parts_->path, name, source);
}

Status ZipWriter::add_later(const std::string& name, std::function<Result<std::string>()> fetch) {
  parts_->later.push_back(std::make_unique<Later>());
  Later& later = *parts_->later.back();
  later.fetch = std::move(fetch);
  later.failure = &parts_->failure;
  zip_error_init(&later.error);
  return add_source(parts_->zip, parts_->path, name,
                    zip_source_function(parts_->zip, later_bytes, &later));
}

Status ZipWriter::close() {
  std::FILE* waiting = std::exchange(parts_->waiting, nullptr);
  if (std::fclose(waiting) != 0) return archive_not_written(parts_->path, std::strerror(errno));
  if (zip_close(parts_->zip) == 0) {
    parts_->zip = nullptr;
    return Done{};
  }
  if (parts_->failure) return *parts_->failure;
  return archive_not_written(parts_->path, zip_strerror(parts_->zip));
}

struct ZipReader::Parts {
  ~Parts() {
    if (zip != nullptr) zip_discard(zip);
  }
  std::string where;
  std::uint64_t file_size = 0;
  zip_t* zip = nullptr;
  std::vector<Entry> entries;
};

ZipReader::ZipReader(std::unique_ptr<Parts> parts) : parts_(std::move(parts)) {}
ZipReader::~ZipReader() = default;

Result<std::unique_ptr<ZipReader>> ZipReader::open(const std::filesystem::path& path,
                                                   std::uint64_t entries_max,
                                                   std::uint64_t bytes_max) {
  auto parts = std::make_unique<Parts>();
  parts->where = path.string();
  std::error_code failed;
  parts->file_size = std::filesystem::file_size(path, failed);
  if (failed) return not_read(parts->where, failed.message());
  if (parts->file_size == 0) return not_read(parts->where, "the file is empty");
  int error = 0;
  parts->zip = zip_open(path.c_str(), ZIP_RDONLY | ZIP_CHECKCONS, &error);
  if (parts->zip == nullptr) {
    zip_error_t known;
    zip_error_init_with_code(&known, error);
    return not_read(parts->where, words(known));
  }
  return look_through(std::move(parts), entries_max, bytes_max);
}

Result<std::unique_ptr<ZipReader>> ZipReader::open_bytes(const std::string& bytes,
                                                         std::uint64_t entries_max,
                                                         std::uint64_t bytes_max) {
  auto parts = std::make_unique<Parts>();
  parts->where = "archive";
  parts->file_size = bytes.size();
  if (bytes.empty()) return not_read(parts->where, "the file is empty");
  zip_error_t error;
  zip_error_init(&error);
  zip_source_t* source = zip_source_buffer_create(bytes.data(), bytes.size(), 0, &error);
  if (source != nullptr) {
    parts->zip = zip_open_from_source(source, ZIP_RDONLY | ZIP_CHECKCONS, &error);
    if (parts->zip == nullptr) zip_source_free(source);
  }
  if (parts->zip == nullptr) return not_read(parts->where, words(error));
  return look_through(std::move(parts), entries_max, bytes_max);
}

Result<std::unique_ptr<ZipReader>> ZipReader::look_through(std::unique_ptr<Parts> parts,
                                                           std::uint64_t entries_max,
                                                           std::uint64_t bytes_max) {
  const auto count = static_cast<std::uint64_t>(zip_get_num_entries(parts->zip, 0));
  if (count > entries_max) return bomb(fmt::format("The archive has {} entries.", count));
  std::set<std::string> names;
  std::uint64_t unpacked = 0;
  std::uint64_t packed = 0;
  for (std::uint64_t i = 0; i < count; ++i) {
    zip_stat_t stat;
    zip_stat_init(&stat);
    if (zip_stat_index(parts->zip, i, ZIP_FL_ENC_RAW, &stat) != 0) {
      return not_read(parts->where, zip_strerror(parts->zip));
    }
    constexpr zip_uint64_t kNeeded = ZIP_STAT_NAME | ZIP_STAT_SIZE | ZIP_STAT_COMP_SIZE |
                                     ZIP_STAT_COMP_METHOD | ZIP_STAT_ENCRYPTION_METHOD;
    if ((stat.valid & kNeeded) != kNeeded)
      return not_read(parts->where, "an entry says too little");
    const std::string name = stat.name;
    if (stat.encryption_method != ZIP_EM_NONE) return bad_layout(name, "This entry is encrypted.");
    if (stat.comp_method != ZIP_CM_STORE && stat.comp_method != ZIP_CM_DEFLATE) {
      return bad_layout(name, "This entry is packed in a way that is not read.");
    }
    if (!names.insert(name).second) return bad_layout(name, "This entry is there twice.");
    // Sums cannot run over: each is held to its limit before the next is added.
    if (stat.size > bytes_max || (unpacked += stat.size) > bytes_max) {
      return bomb(fmt::format("Unpacked, the archive would have more than {} bytes.", bytes_max));
    }
    if (stat.comp_size > parts->file_size ||
        (packed += stat.comp_size + kLocalHeader) > parts->file_size) {
      return bomb("Entries of the archive share the same bytes.");
    }
    parts->entries.push_back(
        {.name = name, .size = stat.size, .packed = stat.comp_size, .index = i});
  }
  return std::unique_ptr<ZipReader>(new ZipReader(std::move(parts)));
}

const std::vector<ZipReader::Entry>& ZipReader::entries() const { return parts_->entries; }

Result<std::string> ZipReader::read(const Entry& entry) {
  zip_file_t* file = zip_fopen_index(parts_->zip, entry.index, 0);
  if (file == nullptr) return not_read(entry.name, zip_strerror(parts_->zip));
  // Grown as bytes come: what an entry claims to be is no reason to have that memory ready.
  constexpr std::size_t kPiece = std::size_t{1} << 20U;
  std::string bytes;
  zip_int64_t got = 0;
  do {
    const std::size_t before = bytes.size();
    bytes.resize(before + kPiece);
    got = zip_fread(file, bytes.data() + before, kPiece);
    bytes.resize(before + static_cast<std::size_t>(std::max<zip_int64_t>(got, 0)));
  } while (got > 0 && bytes.size() <= entry.size);
  const std::string why = got < 0 ? zip_file_strerror(file) : "an entry has another size than said";
  zip_fclose(file);
  if (got < 0 || bytes.size() != entry.size) return not_read(entry.name, why);
  return bytes;
}

}  // namespace bight::records
