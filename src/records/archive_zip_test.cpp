#include "records/archive_zip.h"

#include <gtest/gtest.h>

#include <fstream>
#include <iterator>

#include "records/store_test_util.h"
#include "records/zip_test_util.h"

namespace bight::records {
namespace {

using test::raw_zip;
using test::RawEntry;

constexpr std::uint64_t kEntries = 100;
constexpr std::uint64_t kBytes = 1 << 20;

std::string code_of(const std::string& zip, std::uint64_t entries = kEntries,
                    std::uint64_t bytes = kBytes) {
  const auto reader = ZipReader::open_bytes(zip, entries, bytes);
  if (!reader.ok()) return reader.failure().code;
  for (const ZipReader::Entry& entry : (*reader)->entries()) {
    const auto read = (*reader)->read(entry);
    if (!read.ok()) return read.failure().code;
  }
  return "";
}

// What is written is read: at hand or fetched later, empty or large, in order, the same bytes each
// time.
TEST(ArchiveZip, RoundTrip) {
  const test::Folder folder;
  std::vector<std::string> files;
  for (const char* name : {"a.zip", "b.zip"}) {
    const auto path = folder / name;
    const auto writer = std::move(ZipWriter::create(path)).value();
    ASSERT_TRUE(writer->add("one", "hello").ok());
    ASSERT_TRUE(
        writer
            ->add_later("later",
                        [] { return base::Result<std::string>(std::string(3'000'000, 'z')); })
            .ok());
    ASSERT_TRUE(writer->add("dir/empty", "").ok());
    const auto closed = writer->close();
    ASSERT_TRUE(closed.ok()) << closed.failure().text();
    std::ifstream stream(path, std::ios::binary);
    files.emplace_back(std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>());
  }
  EXPECT_EQ(files[0], files[1]);
  const auto reader = std::move(ZipReader::open(folder / "a.zip", kEntries, 4'000'000)).value();
  ASSERT_EQ(reader->entries().size(), 3u);
  EXPECT_EQ(reader->entries()[0].name, "one");
  EXPECT_EQ(*reader->read(reader->entries()[0]), "hello");
  EXPECT_EQ(*reader->read(reader->entries()[1]), std::string(3'000'000, 'z'));
  EXPECT_EQ(*reader->read(reader->entries()[2]), "");
  EXPECT_FALSE(std::filesystem::exists(folder / "a.zip.waiting"));
}

// A file made by hand from the published format is read: the reader and our writer do not merely
// agree with one another.
TEST(ArchiveZip, ReadsThePublishedFormat) {
  const std::string zip =
      raw_zip({{.name = "a", .bytes = "123456789"}, {.name = "b", .bytes = ""}});
  // The check value of CRC-32 in its catalogue entry (ISO-HDLC).
  EXPECT_EQ(test::checksum("123456789"), 0xcbf43926U);
  const auto reader = std::move(ZipReader::open_bytes(zip, kEntries, kBytes)).value();
  EXPECT_EQ(*reader->read(reader->entries()[0]), "123456789");
  EXPECT_EQ(code_of(zip), "");
}

// A failure while fetching ends the writing with that failure and leaves no file.
TEST(ArchiveZip, FetchingMayFail) {
  const test::Folder folder;
  {
    const auto writer = std::move(ZipWriter::create(folder / "a.zip")).value();
    ASSERT_TRUE(
        writer
            ->add_later("later",
                        [] {
                          return base::Result<std::string>(base::Failure{"blob.none", "", "x", ""});
                        })
            .ok());
    EXPECT_EQ(writer->close().failure().code, "blob.none");
  }
  EXPECT_FALSE(std::filesystem::exists(folder / "a.zip"));
  EXPECT_EQ(ZipWriter::create(folder / "no/a.zip").failure().code, "archive.write");
  EXPECT_EQ(ZipReader::open(folder / "none", 1, 1).failure().code, "archive.read");
}

// Lies in the headers are found, whatever else is sound.
TEST(ArchiveZip, LiesAreFound) {
  const RawEntry sound{.name = "a", .bytes = "hello"};
  RawEntry other = sound;
  other.name = "b";
  EXPECT_EQ(code_of(raw_zip({sound, other})), "");
  EXPECT_NE(code_of(raw_zip({sound, sound})), "");  // a name twice
  other.wrong_checksum = true;
  EXPECT_EQ(code_of(raw_zip({sound, other})), "archive.read");
  other = sound;
  other.flags = 1;
  EXPECT_EQ(code_of(raw_zip({other})), "archive.layout");  // encrypted
  other = sound;
  other.method = 12;
  EXPECT_EQ(code_of(raw_zip({other})), "archive.layout");  // bzip2
  other = sound;
  other.claimed_size = 4;
  EXPECT_EQ(code_of(raw_zip({other})), "archive.read");
  other.claimed_size = 6;
  EXPECT_EQ(code_of(raw_zip({other})), "archive.read");
  // Two entries of one name's bytes: the trick of bombs that unpack the same bytes many times.
  EXPECT_NE(code_of(raw_zip({{.name = "a", .bytes = std::string(500, 'x')},
                             {.name = "b", .bytes = std::string(500, 'x'), .same_bytes_as = 0}})),
            "");
}

// Limits hold at their edge, before anything is unpacked.
TEST(ArchiveZip, LimitsHold) {
  const std::string zip =
      raw_zip({{.name = "a", .bytes = "12345"}, {.name = "b", .bytes = "6789"}});
  EXPECT_EQ(code_of(zip, 2, 9), "");
  EXPECT_EQ(code_of(zip, 1, 9), "archive.bomb");
  EXPECT_EQ(code_of(zip, 2, 8), "archive.bomb");
  EXPECT_EQ(code_of(raw_zip({{.name = "a", .bytes = "x", .claimed_size = 0xfffffffe}})),
            "archive.bomb");
}

// Cut off anywhere, it is no archive.
TEST(ArchiveZip, CutOff) {
  const std::string zip =
      raw_zip({{.name = "a", .bytes = "12345"}, {.name = "b", .bytes = "6789"}});
  for (std::size_t size = 0; size < zip.size(); ++size) {
    EXPECT_EQ(code_of(zip.substr(0, size)), "archive.read") << size;
  }
}

}  // namespace
}  // namespace bight::records
