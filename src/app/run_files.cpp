#include "app/run_files.h"

#include <fmt/format.h>

#include <chrono>
#include <filesystem>
#include <fstream>

#include "base/csv.h"
#include "exchange/text_file.h"
#include "exchange/toml_text.h"
#include "exchange/utf8.h"

namespace bight::app {

using base::Failure;
using base::Result;
using nlohmann::ordered_json;

Result<exchange::Document> load_document(const std::string& path) {
  BIGHT_TRY(const std::string text, exchange::read_text_file(path));
  const std::size_t first = text.find_first_not_of(" \t\r\n");
  const bool json = first != std::string::npos && (text[first] == '{' || text[first] == '[') &&
                    !text.substr(first).starts_with("[[");
  // A TOML table's head opens with a bracket, too; JSON's list does not go on with a letter.
  const bool table = json && text[first] == '[' && first + 1 < text.size() &&
                     std::isalpha(static_cast<unsigned char>(text[first + 1])) != 0;
  if (!json || table) return exchange::parse_toml(text, path);
  ordered_json value = ordered_json::parse(text, nullptr, false);
  if (value.is_discarded()) {
    return Failure{"run.json", path, "this begins like JSON and is none",
                   "a run as docs/formats/run.md shows it"};
  }
  return exchange::document_of(std::move(value), path);
}

Result<running::Run> load_run(const std::string& path) {
  BIGHT_TRY(const exchange::Document document, load_document(path));
  return exchange::read_run(document);
}

base::Status save_run(const running::Run& run, const std::string& path) {
  const ordered_json document = exchange::run_document(run);
  const std::string text =
      path.ends_with(".json") ? document.dump(1) + "\n" : exchange::toml_text(document);
  const std::string fresh = path + ".new";
  {
    std::ofstream out(fresh, std::ios::binary);
    out << text;
    out.close();
    if (!out) {
      return Failure{"run.write", path, "the run could not be written",
                     "a folder that can be written"};
    }
  }
  std::error_code error;
  std::filesystem::rename(fresh, path, error);
  if (error) return Failure{"run.write", path, "the run could not be written", error.message()};
  return base::Done{};
}

base::Status save_bytes(const std::string& bytes, const std::string& path) {
  std::ofstream out(path, std::ios::binary);
  out << bytes;
  out.close();
  if (out) return base::Done{};
  return Failure{"papers.write", path, "the file could not be written",
                 "a folder that can be written"};
}

base::Status check_typed(const std::vector<std::string>& texts) {
  for (const std::string& text : texts) {
    for (std::size_t at = 0; at < text.size();) {
      if (exchange::next_utf8(text, at) == exchange::kNoCharacter) {
        return Failure{"run.text", "", "what was typed is not UTF-8", "a terminal set to UTF-8"};
      }
    }
  }
  return base::Done{};
}

running::Moment moment_now() {
  const auto now = std::chrono::system_clock::now().time_since_epoch();
  return {std::chrono::duration_cast<std::chrono::milliseconds>(now).count()};
}

Result<std::vector<running::GaugeReading>> load_gauge_readings(const std::string& path) {
  BIGHT_TRY(const std::string text, exchange::read_text_file(path));
  BIGHT_TRY(const base::CsvTable table, base::CsvTable::parse(text, path));
  std::vector<running::GaugeReading> readings;
  for (std::size_t row = 0; row < table.num_rows(); ++row) {
    running::GaugeReading reading;
    BIGHT_TRY(reading.person, table.text(row, "person"));
    BIGHT_TRY(reading.piece, table.text(row, "piece"));
    BIGHT_TRY(reading.value, table.number(row, "angle"));
    readings.push_back(std::move(reading));
  }
  return readings;
}

}  // namespace bight::app
