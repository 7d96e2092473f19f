// Zip files written by hand after PKWARE's APPNOTE 6.3.9 (4.3.7 local header, 4.3.12 central
// directory, 4.3.16 end of it), so that tests can lie in any field.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace bight::records::test {

struct RawEntry {
  std::string name;
  std::string bytes;
  std::uint16_t method = 0;  // 0 stored
  std::uint16_t flags = 0;   // bit 0: encrypted
  std::int64_t claimed_size = -1;
  bool wrong_checksum = false;
  int same_bytes_as = -1;  // index of an entry whose local header is named again
};

// CRC-32 of ISO 3309, bit by bit.
inline std::uint32_t checksum(const std::string& bytes) {
  std::uint32_t crc = 0xffffffffU;
  for (const char c : bytes) {
    crc ^= static_cast<unsigned char>(c);
    for (int bit = 0; bit < 8; ++bit) crc = (crc >> 1U) ^ (0xedb88320U & (0U - (crc & 1U)));
  }
  return ~crc;
}

inline void put_number(std::string& to, std::uint64_t value, int bytes) {
  for (int i = 0; i < bytes; ++i, value >>= 8U) to += static_cast<char>(value & 0xffU);
}

inline std::string raw_zip(const std::vector<RawEntry>& entries) {
  std::string file;
  std::string directory;
  std::vector<std::uint64_t> starts;
  for (const RawEntry& entry : entries) {
    std::string shared;  // what both headers say alike
    put_number(shared, 20, 2);
    put_number(shared, entry.flags, 2);
    put_number(shared, entry.method, 2);
    put_number(shared, 0, 2);
    put_number(shared, 33, 2);
    put_number(shared, checksum(entry.bytes) ^ (entry.wrong_checksum ? 1U : 0U), 4);
    put_number(shared, entry.bytes.size(), 4);
    put_number(shared,
               entry.claimed_size < 0 ? entry.bytes.size()
                                      : static_cast<std::uint64_t>(entry.claimed_size),
               4);
    put_number(shared, entry.name.size(), 2);
    put_number(shared, 0, 2);
    if (entry.same_bytes_as >= 0) {
      starts.push_back(starts[static_cast<std::size_t>(entry.same_bytes_as)]);
    } else {
      starts.push_back(file.size());
      put_number(file, 0x04034b50, 4);
      file += shared + entry.name + entry.bytes;
    }
    put_number(directory, 0x02014b50, 4);
    put_number(directory, 20, 2);
    directory += shared;
    put_number(directory, 0, 2 + 2 + 2 + 4);
    put_number(directory, starts.back(), 4);
    directory += entry.name;
  }
  const std::size_t directory_start = file.size();
  file += directory;
  put_number(file, 0x06054b50, 4);
  put_number(file, 0, 4);
  put_number(file, entries.size(), 2);
  put_number(file, entries.size(), 2);
  put_number(file, directory.size(), 4);
  put_number(file, directory_start, 4);
  put_number(file, 0, 2);
  return file;
}

}  // namespace bight::records::test
