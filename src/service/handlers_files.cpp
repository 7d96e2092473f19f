// Files of customers into part documents, by readers that can be stopped.
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <stdlib.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>

#include "exchange/part_toml_write.h"
#include "exchange/plan_json.h"
#include "exchange/read_any.h"
#include "exchange/stoppable.h"
#include "exchange/table_corners.h"
#include "geometry/centreline.h"
#include "service/handlers.h"
#include "service/line_answer.h"

namespace bight::service {

using base::Failure;
using base::Result;
using Json = nlohmann::ordered_json;

namespace {

// A reading that takes longer becomes a job to look at.
constexpr std::chrono::milliseconds kPatience{1500};

struct ReadWish {
  exchange::ReadOptions options;
  std::string name;  // of the file, harmless
};

std::string harmless(const std::string& name) {
  std::string out;
  for (const char c : std::filesystem::path(name).filename().string()) {
    const bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
                       c == '.' || c == '-' || c == '_' || c == ' ' ||
                       static_cast<unsigned char>(c) >= 0x80;
    out += plain ? c : '_';
  }
  while (out.starts_with('.')) out.erase(0, 1);
  return out.empty() ? "pasted" : out.substr(0, 120);
}

Result<ReadWish> wish_of(const Request& request) {
  BIGHT_TRY(base::Done done, only_asked(request, {"blob", "name", "format", "answer", "units",
                                                  "size", "od", "wall", "material", "swap_ends"}));
  static_cast<void>(done);
  ReadWish wish;
  wish.name = harmless(request.asked("name").value_or("pasted"));
  wish.options.format = request.asked("format").value_or("");
  const auto [first, last] = request.query.equal_range("answer");
  const std::vector<std::string_view>& names = exchange::question_names();
  for (auto it = first; it != last; ++it) {
    const std::size_t equals = it->second.find('=');
    std::string name = it->second.substr(0, equals);
    if (name.starts_with("ask.")) name.erase(0, 4);
    if (equals == std::string::npos || std::find(names.begin(), names.end(), name) == names.end()) {
      return Failure{"ask.unknown", "answer", "this answers no question a reader asks",
                     fmt::format("write question=answer with one of: {}", fmt::join(names, ", "))};
    }
    wish.options.line.answers[name] = it->second.substr(equals + 1);
  }
  BIGHT_TRY(const std::string units, asked_word(request, "units", {"", "mm", "in"}));
  const auto answered = wish.options.line.answers.find("units");
  const bool inch =
      units == "in" || (answered != wish.options.line.answers.end() && answered->second == "in");
  if (inch) wish.options.unit = base::LengthUnit::kInch;
  if (!units.empty()) wish.options.line.answers.emplace("units", units);
  wish.options.tube = {request.asked("size").value_or(""), request.asked("od").value_or(""),
                       request.asked("wall").value_or(""), request.asked("material").value_or("")};
  BIGHT_TRY(const std::string swap, asked_word(request, "swap_ends", {"false", "true"}));
  wish.options.swap_ends = swap == "true";
  return wish;
}

// A folder of its own for one file, removed at the end.
class OneFile {
 public:
  static Result<OneFile> make(const std::string& name, const std::string& bytes) {
    std::string folder = (std::filesystem::temp_directory_path() / "bight-read-XXXXXX").string();
    if (::mkdtemp(folder.data()) == nullptr) {
      return Failure{"read.keep", "", "the file cannot be kept while it is read",
                     "make room in the folder for temporary files"};
    }
    OneFile file(folder, name);
    std::ofstream stream(file.path(), std::ios::binary);
    stream << bytes;
    stream.close();
    if (!stream) {
      return Failure{"read.keep", "", "the file cannot be kept while it is read",
                     "make room in the folder for temporary files"};
    }
    return file;
  }
  OneFile(OneFile&& other) noexcept : folder_(std::move(other.folder_)), name_(other.name_) {
    other.folder_.clear();
  }
  OneFile(const OneFile&) = delete;
  OneFile& operator=(const OneFile&) = delete;
  ~OneFile() {
    std::error_code ignored;
    if (!folder_.empty()) std::filesystem::remove_all(folder_, ignored);
  }
  std::string path() const { return folder_ + "/" + name_; }
  // The text without the folder, which says nothing to anybody.
  std::string without_folder(std::string text) const {
    for (std::size_t at = 0; (at = text.find(folder_ + "/", at)) != std::string::npos;) {
      text.erase(at, folder_.size() + 1);
    }
    return text;
  }

 private:
  OneFile(std::string folder, std::string name)
      : folder_(std::move(folder)), name_(std::move(name)) {}
  std::string folder_;
  std::string name_;
};

Json questions_json(const std::vector<exchange::Question>& questions, const OneFile& file) {
  Json list = Json::array();
  for (const exchange::Question& q : questions) {
    Json choices = Json::array();
    for (const exchange::Choice& choice : q.choices) {
      choices.push_back({{"word", choice.word}, {"meaning", choice.meaning}});
    }
    list.push_back({{"code", q.code},
                    {"answer", q.code.substr(q.code.find('.') + 1)},
                    {"text", q.text},
                    {"where", file.without_folder(q.where)},
                    {"choices", choices},
                    {"form", q.form}});
  }
  return list;
}

bool same_place(const geometry::Vec3& a, const geometry::Vec3& b) {
  constexpr double kSame_mm = 1e-6;
  return (a - b).norm() < kSame_mm;
}

// Whether the document's line runs where the one that was read runs.
bool means(const Json& part, const exchange::Line& line) {
  const Result<exchange::Line> own = line_of(exchange::document_of(part, ""));
  if (!own.ok() || own->table.num_bends() != line.table.num_bends()) return false;
  const std::vector<geometry::Vec3> a = geometry::corner_points_mm(own->table, own->start);
  const std::vector<geometry::Vec3> b = geometry::corner_points_mm(line.table, line.start);
  if (!std::equal(a.begin(), a.end(), b.begin(), b.end(), same_place)) return false;
  for (std::size_t i = 0; i < line.table.num_bends(); ++i) {
    constexpr double kSame_mm = 1e-6;
    const double off_mm = own->table.rows()[i].radius_mm - line.table.rows()[i].radius_mm;
    if (std::abs(off_mm) > kSame_mm) return false;
  }
  return true;
}

// Corners stay corners: as typed where that means the line that was read.
void keep_corners(const exchange::AnyPart& any, const ReadWish& wish, const std::string& bytes,
                  Json& part) {
  if (any.format != "table" || !any.line) return;
  const Result<std::optional<Json>> typed =
      exchange::typed_corners(bytes, wish.name, wish.options.line);
  if (!typed.ok() || !*typed) return;
  Json as_typed = part;
  as_typed["line"] = **typed;
  if (means(as_typed, *any.line)) {
    part = std::move(as_typed);
    return;
  }
  Rewrite corners;
  corners.as_corners = true;
  Result<Json> as_read = rewritten(part, corners);
  if (as_read.ok()) part = *std::move(as_read);
}

Json reading_json(const exchange::AnyPart& any, const OneFile& file, const ReadWish& wish,
                  const std::string& bytes) {
  const bool inch = any.unit == base::LengthUnit::kInch;
  const std::string stem = std::filesystem::path(wish.name).stem().string();
  Json out = {{"format", any.format},
              {"name", any.name.empty() ? stem : any.name},
              {"units", inch ? "in" : "mm"},
              {"questions", questions_json(any.questions, file)},
              {"part", nullptr},
              {"complete", false},
              {"table", nullptr},
              {"findings", Json::array()}};
  if (!any.questions.empty()) return out;
  std::vector<part::Finding> findings;
  if (any.part) {
    out["part"] = exchange::part_document(*any.part, any.unit);
    out["complete"] = true;
    out["table"] = line_json(any.part->table, any.part->start);
    findings = any.part->findings;
  } else if (any.line) {
    Json tube = Json::object();
    if (any.size) tube["size"] = any.size->text;
    out["part"] = {{"schema", 1},
                   {"name", out["name"]},
                   {"units", inch ? "in" : "mm"},
                   {"tube", tube},
                   {"line", bends_line(*any.line, any.unit)}};
    out["table"] = line_json(any.line->table, any.line->start);
    findings = any.line->findings;
  }
  if (!out["part"].is_null()) keep_corners(any, wish, bytes, out["part"]);
  for (const part::Finding& finding : findings) {
    out["findings"].push_back(exchange::finding_json(finding));
  }
  return out;
}

Reply read_bytes(const ReadWish& wish, const std::string& bytes, JobWatch& watch) {
  const Result<OneFile> file = OneFile::make(wish.name, bytes);
  if (!file.ok()) return failed(file.failure());
  watch.tell(fmt::format("reading {}", wish.name));
  const exchange::Stoppable stoppable(watch.flag());
  const Result<exchange::AnyPart> any = exchange::read_any(file->path(), wish.options);
  if (!any.ok()) {
    Failure failure = any.failure();
    failure.where = file->without_folder(failure.where);
    failure.message = file->without_folder(failure.message);
    return failed(failure);
  }
  return json_reply(reading_json(*any, *file, wish, bytes));
}

Result<Reply> read_file(Context& context, const Request& request) {
  BIGHT_TRY(ReadWish wish, wish_of(request));
  BIGHT_TRY(const std::shared_ptr<const ShopView> view, context.shop.view());
  wish.options.metals = view->metals;
  std::string bytes = request.body;
  if (const auto blob = request.asked("blob")) {
    BIGHT_TRY(const records::BlobId id, records::BlobId::parse(*blob));
    BIGHT_TRY(bytes, context.store.blob(id));
  }
  if (bytes.empty()) {
    return Failure{"request.empty", "", "there is nothing to read",
                   "send the file's bytes, or blob with those kept before"};
  }
  return context.jobs.run(
      [wish, bytes = std::move(bytes)](JobWatch& watch) { return read_bytes(wish, bytes, watch); },
      kPatience);
}

}  // namespace

void add_files(Router& router, Context& context) {
  router.add({"POST", "/read", with(context, read_file), records::kLargestBlob});
  router.add({"GET", "/jobs/{id}",
              [&context](const Request& request) { return context.jobs.look(request.holes[0]); }});
  router.add({"DELETE", "/jobs/{id}", [&context](const Request& request) {
                return context.jobs.cancel(request.holes[0]);
              }});
}

}  // namespace bight::service
