#include "records/archive.h"

#include <cstdio>
#include <fstream>
#include <iterator>

#include "records/archive_json.h"
#include "records/archive_zip.h"
#include "records/store_test_util.h"
#include "records/zip_test_util.h"

namespace bight::records {
namespace {

using test::document;
using test::id;

class ArchiveTest : public test::StoreTest {
 protected:
  void fill() {
    put_part("rail");
    put_part("gate");
    const BlobId blob = *store_->keep_blob(std::string("\0drawing\xff", 9));
    put({.kind = Kind::kAttachment,
         .id = id("d"),
         .document = "{ }",
         .part = id("rail"),
         .blob = blob});
    put({.kind = Kind::kRun, .id = id("r"), .document = "{\"a\":1.50}", .part = id("rail")});
    put({.kind = Kind::kBender, .id = id("b"), .document = document("Wendel"), .who = "Jürg"});
    store_->withdraw({.kind = Kind::kPart, .id = id("gate"), .expected_revision = 1});
  }
};
BIGHT_BOTH_STORES(ArchiveTest);

// Out and in again is the same shop, and out once more the same bytes.
TEST_P(ArchiveTest, ExactRoundTrip) {
  fill();
  const auto path = folder_ / "shop.zip";
  const Inventory written = *write_archive(*store_, {}, path);
  EXPECT_EQ(written, *store_->inventory());
  EXPECT_EQ(*archive_inventory(path), written);
  const auto other = open(fresh_place());
  const auto taken = read_archive(*other, path, Taking::kAllOrNothing);
  ASSERT_TRUE(taken.ok()) << taken.failure().text();
  EXPECT_EQ(taken->added, 5);
  EXPECT_EQ(*other->inventory(), written);
  EXPECT_EQ(*archive_bytes(*other, {}), *archive_bytes(*store_, {}));
  for (const auto& entry : std::filesystem::directory_iterator(folder_.path())) {
    const std::string name = entry.path().filename().string();
    EXPECT_TRUE(name == "shop.zip" || name.find(".db") != std::string::npos) << name;
  }
}

// An empty shop has an archive, too.
TEST_P(ArchiveTest, EmptyShop) {
  const std::string bytes = *archive_bytes(*store_, {});
  EXPECT_EQ(read_archive_bytes(*open(fresh_place()), bytes, Taking::kAllOrNothing)->added, 0);
}

// One job travels with its attachment; a second time nothing happens; what was changed on both
// sides is reported.
TEST_P(ArchiveTest, OneJob) {
  fill();
  const std::string job = *archive_bytes(*store_, {.part = id("rail")});
  const auto other = open(fresh_place());
  EXPECT_EQ(read_archive_bytes(*other, job, Taking::kLook)->added, 3);
  EXPECT_EQ(read_archive_bytes(*other, job, Taking::kAllOrNothing)->added, 3);
  EXPECT_EQ(read_archive_bytes(*other, job, Taking::kAllOrNothing)->same, 3);
  EXPECT_EQ(other->get(Kind::kPart, id("gate")).failure().code, "record.none");
  EXPECT_EQ(*other->blob(*other->get(Kind::kAttachment, id("d"))->head.blob),
            std::string("\0drawing\xff", 9));
  for (Store* store : {store_.get(), other.get()}) {
    store->put({.kind = Kind::kPart,
                .id = id("rail"),
                .document = document(store == other.get() ? "there" : "here"),
                .expected_revision = 1});
  }
  const std::string later = *archive_bytes(*store_, {.part = id("rail")});
  const auto report = *read_archive_bytes(*other, later, Taking::kAllOrNothing);
  EXPECT_FALSE(report.written);
  ASSERT_EQ(report.differences.size(), 1u);
  EXPECT_EQ(report.differences.front().first_revision, 2);
  EXPECT_EQ(archive_bytes(*store_, {.part = id("none")}).failure().code, "record.none");
}

// Python's zipfile and json, which share no code with ours, find what docs/formats/archive.md says.
TEST_P(ArchiveTest, AnotherReaderAgrees) {
  fill();
  const auto path = folder_ / "shop.zip";
  ASSERT_TRUE(write_archive(*store_, {}, path).ok());
  const auto script = folder_ / "read.py";
  std::ofstream(script) << R"py(
import sys, zipfile, json, hashlib, datetime
z = zipfile.ZipFile(sys.argv[1])
assert z.testzip() is None
def field(b): return str(len(b)).encode() + b":" + b
hashes = []
for n in z.namelist():
    if n.startswith("blobs/"):
        assert hashlib.sha256(z.read(n)).hexdigest() == n[6:]
    if not n.startswith("records/"): continue
    r = json.loads(z.read(n))
    assert n == "records/%s/%s.json" % (r["kind"], r["id"])
    for v in r["revisions"]:
        at = datetime.datetime.strptime(v["at"], "%Y-%m-%dT%H:%M:%S.%fZ")
        ms = (at - datetime.datetime(1970, 1, 1)) // datetime.timedelta(milliseconds=1)
        doc = v["document_text"] if "document_text" in v else json.dumps(
            v["document"], separators=(",", ":"), ensure_ascii=False)
        h = b"".join(field(x.encode()) for x in [r["kind"], r["id"], "%d %d %d %d %d" % (
            v["revision"], v["change"], v["content_of"], ms, v["withdrawn"]), v["deed"], v["by"],
            v.get("part", ""), v.get("blob", ""), doc])
        hashes.append((v["change"], hashlib.sha256(h).digest()))
m = json.loads(z.read("bight.json"))
assert m["revisions"] == len(hashes)
assert m["fingerprint"] == hashlib.sha256(b"".join(h for _, h in sorted(hashes))).hexdigest()
print("agreed")
)py";
  const std::string command =
      fmt::format("/usr/bin/python3 {} {} 2>&1", script.string(), path.string());
  std::FILE* pipe = ::popen(command.c_str(), "r");
  ASSERT_NE(pipe, nullptr);
  char line[4000] = {};
  std::string said;
  while (std::fgets(line, sizeof line, pipe) != nullptr) said += line;
  ::pclose(pipe);
  EXPECT_EQ(said, "agreed\n");
}

// Reading: one store is enough, what is refused never reaches it.
class HostileArchive : public testing::Test {
 protected:
  void SetUp() override {
    store_ = std::move(open_store((folder_ / "shop.db").string(), {})).value();
    const auto other = std::move(open_store((folder_ / "other.db").string(), {})).value();
    other->put({.kind = Kind::kPart, .id = id("rail"), .document = document("rail")});
    const BlobId blob = *other->keep_blob("drawing");
    other->put({.kind = Kind::kAttachment,
                .id = id("d"),
                .document = "{}",
                .part = id("rail"),
                .blob = blob});
    sound_ = *archive_bytes(*other, {});
    const auto zip = std::move(ZipReader::open_bytes(sound_, 100, 1'000'000)).value();
    for (const ZipReader::Entry& entry : zip->entries()) {
      entries_.push_back({.name = entry.name, .bytes = *zip->read(entry)});
    }
    ASSERT_EQ(entries_.size(), 4u);
  }

  std::string code_of(const std::string& bytes, const ArchiveLimits& limits = {}) {
    const auto taken = read_archive_bytes(*store_, bytes, Taking::kLook, limits);
    return taken.ok() ? "" : taken.failure().code;
  }
  std::string code_of(const std::vector<test::RawEntry>& entries) {
    return code_of(test::raw_zip(entries));
  }

  test::Folder folder_;
  std::unique_ptr<Store> store_;
  std::string sound_;
  std::vector<test::RawEntry> entries_;  // part, attachment, blob, manifest
};

// The entries, packed by hand, are taken; in any other form they are not.
TEST_F(HostileArchive, LayoutIsExact) {
  EXPECT_EQ(code_of(entries_), "");
  for (const char* name :
       {"../evil", "/etc/passwd", "records/part/../../x.json", "records/part/rail.JSON",
        "records/part/.json", "records/ship/a.json", "records/a.json", "blobs/abc", "blobs/",
        "records/part/", "README", "records\\part\\b.json", "records/part/b.json/c.json"}) {
    auto entries = entries_;
    entries.push_back({.name = name, .bytes = "x"});
    EXPECT_EQ(code_of(entries), "archive.layout") << name;
  }
  for (std::size_t gone = 0; gone < entries_.size(); ++gone) {
    auto entries = entries_;
    entries.erase(entries.begin() + static_cast<long>(gone));
    EXPECT_NE(code_of(entries), "") << gone;
  }
  auto entries = entries_;
  entries[2].bytes = "drawinh";
  EXPECT_EQ(code_of(entries), "archive.content");
  entries = entries_;
  entries[0].name = "records/part/gate.json";
  EXPECT_EQ(code_of(entries), "archive.content");
  entries = entries_;
  entries[0].bytes.replace(entries[0].bytes.find("rail\""), 4, "Rail");
  EXPECT_NE(code_of(entries), "");
  EXPECT_EQ(*store_->latest_change(), 0);
}

// Small on the disk, large in memory: refused by what it claims, or where it stops being true.
TEST_F(HostileArchive, Bombs) {
  ArchiveLimits tight;
  tight.bytes_max = 100;
  EXPECT_EQ(code_of(sound_, tight), "archive.bomb");
  tight = {};
  tight.entries_max = 3;
  EXPECT_EQ(code_of(sound_, tight), "archive.bomb");
  tight = {};
  tight.json_max = 50;
  EXPECT_EQ(code_of(sound_, tight), "archive.bomb");
  auto entries = entries_;
  entries.push_back(
      {.name = "blobs/" + BlobId::of("").text(), .bytes = "", .claimed_size = 0x7fffffff});
  EXPECT_EQ(code_of(entries), "archive.bomb");
  // Ten million zero bytes deflate to ten thousand.
  const auto path = folder_ / "zeros.zip";
  {
    const auto writer = std::move(ZipWriter::create(path)).value();
    ASSERT_TRUE(writer->add("records/part/a.json", std::string(10'000'000, '0')).ok());
    ASSERT_TRUE(writer->close().ok());
  }
  EXPECT_LT(std::filesystem::file_size(path), 20'000u);
  tight = {};
  tight.json_max = 1'000'000;
  EXPECT_EQ(read_archive(*store_, path, Taking::kLook, tight).failure().code, "archive.bomb");
}

// Cut off at any byte it is refused; with any one byte changed it is refused or says the same.
TEST_F(HostileArchive, AnyByteCutOrChanged) {
  for (std::size_t size = 0; size < sound_.size(); ++size) {
    EXPECT_EQ(code_of(sound_.substr(0, size)), "archive.read") << size;
  }
  int refused = 0;
  for (std::size_t i = 0; i < sound_.size(); ++i) {
    std::string changed = sound_;
    changed[i] = static_cast<char>(changed[i] ^ 0x11);
    const auto taken = read_archive_bytes(*store_, changed, Taking::kLook);
    if (taken.ok()) {
      EXPECT_EQ(taken->added, 2) << i;
    } else {
      ++refused;
    }
  }
  // Times, versions and attributes of entries are the only bytes that carry nothing.
  EXPECT_GT(refused, static_cast<int>(sound_.size() * 3 / 4));
}

}  // namespace
}  // namespace bight::records
