#include "exchange/trials_append.h"

#include <fmt/format.h>

#include <algorithm>

#include "exchange/document.h"
#include "exchange/shop_toml.h"
#include "exchange/shop_write.h"
#include "exchange/toml_text.h"

namespace bight::exchange {

using base::Failure;
using base::Result;

namespace {

bool blank(const std::string& text) {
  return std::all_of(text.begin(), text.end(),
                     [](char c) { return c == ' ' || c == '\n' || c == '\r' || c == '\t'; });
}

// How the file writes lengths.
struct Style {
  base::LengthUnit unit = base::LengthUnit::kMillimetre;
  bool comma = false;
};

Result<Style> style_of(const std::string& text, const std::string& file) {
  Style style;
  if (blank(text)) return style;
  BIGHT_TRY(const Document document, parse_toml(text, file));
  const auto says = [&](const char* key, const char* word) {
    const auto found = document.value.find(key);
    return found != document.value.end() && found->is_string() && *found == word;
  };
  if (says("units", "in")) style.unit = base::LengthUnit::kInch;
  style.comma = says("decimal_mark", "comma");
  return style;
}

std::string entry_of(const workshop::TrialBend& trial, const Style& style) {
  nlohmann::ordered_json entry = trial_document(trial, style.unit);
  entry.erase("units");  // the file's own
  for (const char* key :
       {"od", "wall", "blank", "leg_a_outside", "leg_b_outside", "mark", "radius_after"}) {
    const auto found = entry.find(key);
    if (!style.comma || found == entry.end() || !found->is_string()) continue;
    std::string length = *found;
    std::replace(length.begin(), length.end(), '.', ',');
    *found = length;
  }
  return "\n[[trial]]\n" + toml_text(entry);
}

Result<workshop::Shop> read_back(const std::string& text, const std::string& file,
                                 const std::string& materials) {
  ShopTexts texts;
  texts.shop = "name = \"shop\"\n";
  texts.trials = text;
  texts.materials = materials;
  const std::size_t slash = file.rfind('/');
  return read_shop(texts, slash == std::string::npos ? "." : file.substr(0, slash));
}

// Whether each of them has its like in the list, a like of its own.
bool all_among(const std::vector<workshop::TrialBend>& trials,
               const std::vector<workshop::TrialBend>& list, Twice twice) {
  const auto said = [twice](const workshop::TrialBend& trial) {
    nlohmann::ordered_json entry = trial_document(trial);
    if (twice == Twice::kAlikeButSetAngle) entry.erase("set");
    return entry;
  };
  std::vector<nlohmann::ordered_json> left;
  for (const workshop::TrialBend& trial : list) left.push_back(said(trial));
  for (const workshop::TrialBend& trial : trials) {
    const auto like = std::find(left.begin(), left.end(), said(trial));
    if (like == left.end()) return false;
    left.erase(like);
  }
  return true;
}

}  // namespace

Result<std::string> with_trials(const std::string& text,
                                const std::vector<workshop::TrialBend>& trials,
                                const std::string& file, Twice twice,
                                const std::string& materials) {
  BIGHT_TRY(const Style style, style_of(text, file));
  std::string out = blank(text) ? "# Trial bends that the shop has made.\nschema = 1\n" : text;
  if (!out.ends_with('\n')) out += '\n';
  std::vector<workshop::TrialBend> before;
  if (!blank(text)) {
    BIGHT_TRY(const workshop::Shop shop, read_back(text, file, materials));
    before = shop.trials;
  }
  for (const workshop::TrialBend& trial : trials) out += entry_of(trial, style);
  const Result<workshop::Shop> after = read_back(out, file, materials);
  if (!after.ok() && after.failure().code != "toml.syntax") return after.failure();
  if (!after.ok() || after->trials.size() != before.size() + trials.size()) {
    return Failure{"learn.write", file, "the entries could not be added below what stands there",
                   "put every trial in a [[trial]] entry of its own"};
  }
  // As read back: metals have the catalogue's names there.
  const auto first = after->trials.begin() + static_cast<std::ptrdiff_t>(before.size());
  if (twice != Twice::kAllowed && !trials.empty() &&
      all_among({first, after->trials.end()}, before, twice)) {
    return Failure{"learn.twice", file,
                   trials.size() == 1 ? "this trial bend stands there already"
                                      : "these trial bends stand there already",
                   "nothing was added; --again adds them once more"};
  }
  return out;
}

}  // namespace bight::exchange
