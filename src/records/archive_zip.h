// Zip files, as an archive needs them and no further (libzip).
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "base/result.h"

namespace bight::records {

// Writes a zip file entry by entry. The same entries give the same bytes: no times, no owners.
class ZipWriter {
 public:
  // Failure codes: archive.write.
  static base::Result<std::unique_ptr<ZipWriter>> create(const std::filesystem::path& path);
  ~ZipWriter();

  // An entry whose bytes are kept on disk until close(). Failure codes: archive.write.
  base::Status add(const std::string& name, const std::string& bytes);
  // An entry whose bytes are asked for during close(). Failure codes: archive.write.
  base::Status add_later(const std::string& name, std::function<base::Result<std::string>()> fetch);
  // Writes the file. Failure codes: archive.write, and those of what add_later was given.
  base::Status close();

 private:
  struct Parts;
  explicit ZipWriter(std::unique_ptr<Parts> parts);
  std::unique_ptr<Parts> parts_;
};

// Reads a zip file somebody else may have made.
class ZipReader {
 public:
  struct Entry {
    std::string name;
    std::uint64_t size = 0;  // unpacked, as the file claims; read() holds it to that
    std::uint64_t packed = 0;
    std::uint64_t index = 0;
  };

  // Failure codes: archive.read (no such file, not a zip, cut off, inconsistent), archive.layout
  // (encrypted, a packing other than none and deflate, a name twice), archive.bomb (more entries
  // than `entries_max`, more unpacked bytes than `bytes_max`, entries that share packed bytes).
  static base::Result<std::unique_ptr<ZipReader>> open(const std::filesystem::path& path,
                                                       std::uint64_t entries_max,
                                                       std::uint64_t bytes_max);
  // `bytes` must outlive the reader.
  static base::Result<std::unique_ptr<ZipReader>> open_bytes(const std::string& bytes,
                                                             std::uint64_t entries_max,
                                                             std::uint64_t bytes_max);
  ~ZipReader();

  // In the order of the file.
  const std::vector<Entry>& entries() const;
  // Failure codes: archive.read (cut off, a checksum that fails, another size than claimed).
  base::Result<std::string> read(const Entry& entry);

 private:
  struct Parts;
  explicit ZipReader(std::unique_ptr<Parts> parts);
  static base::Result<std::unique_ptr<ZipReader>> look_through(std::unique_ptr<Parts> parts,
                                                               std::uint64_t entries_max,
                                                               std::uint64_t bytes_max);
  std::unique_ptr<Parts> parts_;
};

}  // namespace bight::records
