// What the shop remembers: records, their revisions and the names they go by.
#pragma once

#include <compare>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "records/clock.h"

namespace bight::records {

enum class Kind {
  kPart,
  kBender,
  kDieSet,
  kTrial,
  kTube,
  kHeat,
  kMaterial,
  kPerson,
  kHouse,
  kPlanChoice,
  kRun,
  kMeasurement,
  kLesson,
  kAttachment,
};
inline constexpr int kNumKinds = 14;

// "part", "die_set", "plan_choice", …: the name in addresses, archives and tables.
std::string_view kind_name(Kind kind);
// Failure codes: record.kind.
base::Result<Kind> kind_named(std::string_view name);

// The name of a record among those of its kind: 1 to 64 of a-z 0-9 - _, so that it is safe in an
// address and as a file's name.
class RecordId {
 public:
  // Failure codes: record.id.
  static base::Result<RecordId> parse(std::string_view text);
  // 16 letters and digits without i, l, o, u: nine of the moment, so that ids sort by age, seven of
  // `random_bits` (the lowest 35). Neither secret nor a permission. `at` from 1970 to 3084.
  static RecordId fresh(Instant at, std::uint64_t random_bits);

  const std::string& text() const { return text_; }
  auto operator<=>(const RecordId&) const = default;

 private:
  explicit RecordId(std::string text) : text_(std::move(text)) {}
  std::string text_;
};

// The name of an attachment's bytes: their SHA-256 (FIPS 180-4) in 64 lower-case hex digits. The
// same bytes are kept once, however often they are attached.
class BlobId {
 public:
  // Failure codes: blob.id.
  static base::Result<BlobId> parse(std::string_view text);
  static BlobId of(std::string_view bytes);

  const std::string& text() const { return text_; }
  auto operator<=>(const BlobId&) const = default;

 private:
  explicit BlobId(std::string text) : text_(std::move(text)) {}
  std::string text_;
};

// What was done to make a revision.
enum class Deed { kPut, kUndo, kWithdraw, kRestore };
// "put", "undo", "withdraw", "restore".
std::string_view deed_name(Deed deed);
// Failure codes: record.deed.
base::Result<Deed> deed_named(std::string_view name);

// What one revision holds beside its document. Nothing here is ever changed once written.
struct Revision {
  Kind kind = Kind::kPart;
  RecordId id;
  std::int64_t revision = 1;  // 1, 2, 3, … of this record; the one before it is revision − 1
  std::int64_t change = 0;    // place among all changes of the shop, growing, without repeats
  Deed deed = Deed::kPut;
  std::int64_t content_of = 1;  // revision whose content this is: itself, or where an undo went
  Instant at;
  std::string by;                // initials; may be empty
  bool withdrawn = false;        // kept and readable, but off the lists
  std::optional<RecordId> part;  // the part it belongs to (a run, a plan choice, a drawing)
  std::optional<BlobId> blob;    // the bytes of an attachment
};

// One revision with its document; as answered by Store::get, the present one.
struct Record {
  Revision head;
  std::string document;  // JSON, byte for byte as it was put

  bool operator==(const Record& other) const;
};
bool operator==(const Revision& a, const Revision& b);

// What lists show of a part and what search looks through.
struct PartSummary {
  std::string name;
  std::string customer;
  std::string drawing;
  std::string tube;  // as typed or as catalogued: "38.1 x 1.5", "1-1/2 in sch 40"
  std::optional<double> od_mm;
  std::optional<double> wall_mm;
  std::vector<double> radii_mm;  // each once
  std::string material;
  int bends = 0;
  std::string hand;     // "left", "right", "" where the part has none
  std::string search;   // further words to find it by
  std::string picture;  // path of an oblique view, for an SVG element

  bool operator==(const PartSummary&) const = default;
};

// One line of the list of parts.
struct PartLine {
  Revision head;
  PartSummary summary;
};

// Largest document in bytes.
inline constexpr std::size_t kLargestDocument = std::size_t{1} << 20U;
// Deepest nesting of a document.
inline constexpr int kDeepestDocument = 64;
// Largest attachment in bytes.
inline constexpr std::size_t kLargestBlob = std::size_t{64} << 20U;

}  // namespace bight::records
