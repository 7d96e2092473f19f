#include "stock/stock_query.h"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <utility>

#include "base/number.h"
#include "base/typed_text.h"

namespace bight::stock {

namespace {

using base::TypedToken;
using Kind = base::TypedToken::Kind;

constexpr std::size_t kLongest = 120;
constexpr const char* kExamples =
    "for example 1-1/2 sch 40 pipe, 38.1 x 16 BWG, 40 x 20 x 2, 22 x 1 copper, bar 20, L 50 x 50 x "
    "5";

// Words that stand for themselves.
struct FlagWord {
  std::string_view word;
  bool StockQuery::*flag;
};
constexpr FlagWord kFlags[] = {{"pipe", &StockQuery::pipe},
                               {"pipes", &StockQuery::pipe},
                               {"nps", &StockQuery::nps},
                               {"nb", &StockQuery::nps},
                               {"tube", &StockQuery::tube},
                               {"tubes", &StockQuery::tube},
                               {"tubing", &StockQuery::tube},
                               {"conduit", &StockQuery::conduit},
                               {"hollow", &StockQuery::hollow},
                               {"box", &StockQuery::hollow},
                               {"hss", &StockQuery::hollow},
                               {"round", &StockQuery::round},
                               {"square", &StockQuery::square},
                               {"sq", &StockQuery::square},
                               {"rectangular", &StockQuery::rectangular},
                               {"rect", &StockQuery::rectangular},
                               {"bar", &StockQuery::bar},
                               {"rod", &StockQuery::bar},
                               {"solid", &StockQuery::bar},
                               {"flat", &StockQuery::flat},
                               {"angle", &StockQuery::angle},
                               {"channel", &StockQuery::channel},
                               {"copper", &StockQuery::copper},
                               {"cu", &StockQuery::copper},
                               {"steel", &StockQuery::steel},
                               {"stainless", &StockQuery::steel},
                               {"hydraulic", &StockQuery::hydraulic}};

// Words that set a text.
struct ValueWord {
  std::string_view word;
  std::string StockQuery::*field;
  std::string_view value;
};
constexpr ValueWord kValues[] = {{"std", &StockQuery::schedule, "STD"},
                                 {"xs", &StockQuery::schedule, "XS"},
                                 {"xxs", &StockQuery::schedule, "XXS"},
                                 {"light", &StockQuery::series, "light"},
                                 {"medium", &StockQuery::series, "medium"},
                                 {"heavy", &StockQuery::series, "heavy"},
                                 {"emt", &StockQuery::conduit_kind, "EMT"},
                                 {"rmc", &StockQuery::conduit_kind, "RMC"},
                                 {"grc", &StockQuery::conduit_kind, "RMC"},
                                 {"rigid", &StockQuery::conduit_kind, "RMC"},
                                 {"imc", &StockQuery::conduit_kind, "IMC"},
                                 {"soft", &StockQuery::type, "R220"},
                                 {"half", &StockQuery::type, "R250"},
                                 {"hard", &StockQuery::type, "R290"},
                                 {"any", &StockQuery::type, "any"},
                                 {"k", &StockQuery::type, "K"},
                                 {"l", &StockQuery::type, "L"},
                                 {"m", &StockQuery::type, "M"},
                                 {"a", &StockQuery::type, "A"},
                                 {"b", &StockQuery::type, "B"},
                                 {"c", &StockQuery::type, "C"}};

// Words that may stand there and say nothing the sizes do not say.
constexpr std::string_view kFillers[] = {
    "od",   "dia",    "diameter", "wall", "thick", "section", "size", "nominal",
    "type", "temper", "astm",     "asme", "ansi",  "mild",    "the",  "of"};

constexpr std::string_view kGaugeWords[] = {"ga", "gauge", "gage", "g", "bwg", "swg"};
constexpr std::string_view kUnitWords[] = {"mm", "cm", "in", "inch", "inches"};

// Standards by the number that follows EN, ISO, A or B.
struct StandardWord {
  std::string_view body;
  std::string_view number;
  std::string_view standard;
};
constexpr StandardWord kStandards[] = {
    {"en", "10220", "EN 10220"}, {"iso", "4200", "EN 10220"}, {"en", "10255", "EN 10255"},
    {"en", "10305", "EN 10305"}, {"en", "10210", "EN 10210"}, {"en", "10219", "EN 10219"},
    {"en", "1057", "EN 1057"},   {"a", "500", "ASTM A500"},   {"a", "513", "ASTM A513"},
    {"b", "88", "ASTM B88"},     {"b", "36", "ASME B36"}};

template <typename Range>
bool contains(const Range& range, std::string_view word) {
  return std::find(std::begin(range), std::end(range), word) != std::end(range);
}

class QueryReader {
 public:
  QueryReader(std::string_view text, const base::LengthRules& rules)
      : text_(text), rules_(rules), tokens_(base::tokenise(text)) {}

  base::Result<StockQuery> read() {
    if (tokens_.empty()) {
      return base::Failure{"stock.query", "", "no size was given", kExamples};
    }
    if (text_.size() > kLongest) {
      return base::Failure{"stock.query", "", base::as_typed(text_) + " is too long for a size",
                           kExamples};
    }
    while (at_ < tokens_.size()) {
      base::Status status = take_item();
      if (!status.ok()) return status.failure();
    }
    settle_letter();
    BIGHT_TRY([[maybe_unused]] const base::Done checked, exclude_contradictions());
    return query_;
  }

 private:
  const TypedToken& peek(std::size_t ahead = 0) const {
    static const TypedToken kEnd;
    return at_ + ahead < tokens_.size() ? tokens_[at_ + ahead] : kEnd;
  }
  bool is(Kind kind, std::size_t ahead = 0) const {
    return at_ + ahead < tokens_.size() && peek(ahead).kind == kind;
  }
  bool tight(Kind kind, std::size_t ahead = 0) const {
    return is(kind, ahead) && !peek(ahead).spaced;
  }
  bool is_word(std::string_view word, std::size_t ahead = 0) const {
    return is(Kind::kWord, ahead) && peek(ahead).text == word;
  }

  base::Failure fail(std::string_view what, std::string message, std::string remedy) const {
    return {"stock." + std::string(what), "", std::move(message), std::move(remedy)};
  }

  base::Status take_item() {
    const TypedToken& token = peek();
    if (token.kind == Kind::kWord) return take_word();
    if (starts_size()) return take_size();
    if (token.kind == Kind::kOther) return take_sign();
    const bool mark =
        token.kind == Kind::kHyphen || token.kind == Kind::kComma || token.kind == Kind::kPoint;
    if (mark && at_ > 0 && !minus_sign()) {  // parts two words and says nothing else
      ++at_;
      return base::Done{};
    }
    return take_size();  // whatever it is, the reader of lengths says what is wrong with it
  }

  base::Status take_times() {
    parted_ = true;
    ++at_;
    return base::Done{};
  }

  base::Status take_sign() {
    const std::string& sign = peek().text;
    if (sign == "\xC3\x97" || sign == "*") return take_times();  // multiplication sign
    if (sign == "\xC3\x98" || sign == "\xC3\xB8" || sign == "\xE2\x8C\x80") {  // diameter signs
      ++at_;
      return base::Done{};
    }
    if (sign == "#" && is(Kind::kDigits, 1)) {
      ++at_;
      TypedSize size;
      size.text = "#" + peek().text;
      size.gauge = TypedGauge{"", gauge_name(peek().text)};
      query_.sizes.push_back(std::move(size));
      ++at_;
      return base::Done{};
    }
    return fail("query", fmt::format("{} means nothing in a size", base::as_typed(sign)),
                kExamples);
  }

  // A hyphen that belongs to the number after it rather than to the word before it.
  bool minus_sign() const {
    const bool after_times = at_ > 0 && tokens_[at_ - 1].text == "x";
    return is(Kind::kHyphen) && tight(Kind::kDigits, 1) && (peek().spaced || after_times);
  }

  bool starts_size() const {
    return is(Kind::kDigits) || is(Kind::kVulgar) || (is(Kind::kPoint) && tight(Kind::kDigits, 1));
  }

  base::Status take_word() {
    const std::string word = peek().text;
    if (word == "x" || word == "by") return take_times();
    if (word == "dn") return take_dn();
    if (word == "sch" || word == "schedule" || word == "sched") return take_schedule();
    if (word == "r" && tight(Kind::kDigits, 1)) {
      query_.type = "R" + peek(1).text;
      at_ += 2;
      return base::Done{};
    }
    if (word == "chs" || word == "shs" || word == "rhs") {
      query_.hollow = true;
      (word == "chs" ? query_.round : word == "shs" ? query_.square : query_.rectangular) = true;
      ++at_;
      return base::Done{};
    }
    if (at_ == 0 && (word == "l" || word == "u" || word == "c")) return take_letter(word);
    const bool body = word == "en" || word == "iso" || word == "a" || word == "b";
    if (body && is(Kind::kDigits, 1)) return take_standard();
    return take_known_word(word);
  }

  // A letter in front of sizes names a section, unless copper tube comes of it ("L 1/2").
  base::Status take_letter(const std::string& word) {
    letter_ = word;
    ++at_;
    return base::Done{};
  }

  void settle_letter() {
    const bool tube = query_.copper || query_.tube || query_.sizes.size() < 2;
    if (letter_.empty() || query_.angle || query_.channel) return;
    if (letter_ == "u" || !tube) {
      (letter_ == "l" ? query_.angle : query_.channel) = true;
    } else if (query_.type.empty()) {
      query_.type = letter_ == "l" ? "L" : "C";
    }
  }

  base::Status take_known_word(const std::string& word) {
    for (const FlagWord& known : kFlags) {
      if (known.word != word) continue;
      query_.*known.flag = true;
      ++at_;
      return base::Done{};
    }
    for (const ValueWord& known : kValues) {
      if (known.word != word) continue;
      std::string& field = query_.*known.field;
      // "half hard" is one temper.
      const bool half_hard = word == "hard" && field == "R250";
      if (!field.empty() && field != known.value && !half_hard) {
        return fail("query", fmt::format("both {} and {} were said", field, known.value),
                    "say one of the two");
      }
      if (!half_hard) field = std::string(known.value);
      ++at_;
      return base::Done{};
    }
    if (contains(kFillers, word)) {
      parted_ |= word == "od" || word == "wall" || word == "thick";
      ++at_;
      return base::Done{};
    }
    return fail("word", fmt::format("{} is not a word of a size", base::as_typed(word)),
                "give size and shape only, the metal apart from it; " + std::string(kExamples));
  }

  void skip_hyphen() {
    if (is(Kind::kHyphen) || is(Kind::kPoint)) ++at_;
  }

  base::Status take_dn() {
    ++at_;
    skip_hyphen();
    const auto number =
        is(Kind::kDigits) ? base::parse_whole_number(peek().text) : base::parse_whole_number("");
    if (!number.ok() || *number < 1 || *number > 10000) {
      return fail("size", "DN stands without its number", "for example DN 40");
    }
    query_.dn = static_cast<int>(*number);
    ++at_;
    return base::Done{};
  }

  base::Status take_schedule() {
    ++at_;
    skip_hyphen();
    if (is_word("std") || is_word("xs") || is_word("xxs")) return take_known_word(peek().text);
    if (!is(Kind::kDigits)) {
      return fail("size", "the schedule stands without its number",
                  "for example sch 40, sch 10S, STD or XS");
    }
    return take_schedule_number();
  }

  // "40" or "10S", the letter against the number.
  base::Status take_schedule_number() {
    query_.schedule = peek().text;
    ++at_;
    if (is_word("s") && !peek().spaced) {
      query_.schedule += "S";
      ++at_;
    }
    return base::Done{};
  }

  base::Status take_standard() {
    const std::string body = peek().text;
    const std::string number = peek(1).text;
    const auto* known =
        std::find_if(std::begin(kStandards), std::end(kStandards),
                     [&](const StandardWord& s) { return s.body == body && s.number == number; });
    if (known == std::end(kStandards)) {
      return fail("word",
                  fmt::format("{} {} is not a standard of sizes that is known here", body, number),
                  "leave it out; a standard of the metal goes with the metal");
    }
    query_.standard = std::string(known->standard);
    at_ += 2;
    if (tight(Kind::kHyphen) && tight(Kind::kDigits, 1)) {
      query_.standard += "-" + peek(1).text;
      at_ += 2;
    }
    if (tight(Kind::kPoint) && tight(Kind::kDigits, 1)) {
      query_.standard += "." + peek(1).text;
      at_ += 2;
    }
    if (is_word("m") && !peek().spaced) {
      query_.standard += "M";
      ++at_;
    }
    return base::Done{};
  }

  // Moves the token into the text, with its space.
  void gather(std::string& text) {
    if (peek().spaced && !text.empty()) text += ' ';
    text += peek().text;
    ++at_;
  }

  // The number of one size: digits, decimals, a fraction, whole and fraction.
  std::string gather_number() {
    std::string text;
    gather(text);
    while (at_ < tokens_.size()) {
      const bool fraction_ahead =
          is(Kind::kVulgar) || (is(Kind::kDigits) && tight(Kind::kSlash, 1));
      const bool goes_on =
          tight(Kind::kDigits) || tight(Kind::kVulgar) || is(Kind::kSlash) || fraction_ahead ||
          (tight(Kind::kPoint) && tight(Kind::kDigits, 1)) ||
          (tight(Kind::kComma) && tight(Kind::kDigits, 1)) ||
          (tight(Kind::kHyphen) && (tight(Kind::kDigits, 1) || tight(Kind::kVulgar, 1)));
      if (!goes_on) break;
      gather(text);
    }
    return text;
  }

  static std::string gauge_name(const std::string& typed) {
    const bool zeros = typed.find_first_not_of('0') == std::string::npos;
    if (zeros && typed.size() > 1) return fmt::format("{}/0", typed.size());
    return typed;
  }

  base::Status take_size() {
    const bool schedule = is(Kind::kDigits) && is_word("s", 1) && !peek(1).spaced;
    if (schedule) return take_schedule_number();
    TypedSize size;
    size.text = gather_number();
    const bool parted = std::exchange(parted_, false) || query_.sizes.empty();
    if (is(Kind::kWord) && contains(kGaugeWords, peek().text)) {
      const std::string word = peek().text;
      const std::string system = word == "bwg" ? "BWG" : word == "swg" ? "SWG" : "";
      size.gauge = TypedGauge{system, gauge_name(size.text)};
      ++at_;
      // "16 ga BWG" says the system apart from the number.
      if (size.gauge->system.empty() && (is_word("bwg") || is_word("swg"))) {
        size.gauge->system = is_word("bwg") ? "BWG" : "SWG";
        ++at_;
      }
      query_.sizes.push_back(std::move(size));
      return base::Done{};
    }
    if (is(Kind::kDoublePrime) || is(Kind::kPrime)) {
      gather(size.text);
    } else if (is(Kind::kWord) && contains(kUnitWords, peek().text)) {
      gather(size.text);
      if (tight(Kind::kPoint) && !tight(Kind::kDigits, 1)) ++at_;
    }
    if (!parted) {
      return fail("query",
                  fmt::format("{} stands beside another size without x between them",
                              base::as_typed(size.text)),
                  "join sizes with x; a grade of metal is given apart from the size");
    }
    return read_length(std::move(size));
  }

  // Both readings of a bare number, or the only one.
  base::Status read_length(TypedSize size) {
    const auto in_inches =
        base::parse_length_mm(size.text, {base::LengthUnit::kInch, rules_.decimal_mark});
    if (!in_inches.ok()) {
      return fail("size", in_inches.failure().message, in_inches.failure().remedy);
    }
    const auto in_mm =
        base::parse_length_mm(size.text, {base::LengthUnit::kMillimetre, rules_.decimal_mark});
    size.inches_mm = *in_inches;
    size.millimetres_mm = in_mm.ok() ? *in_mm : *in_inches;
    const char last = size.text.back();
    const bool metric = last == 'm';
    const bool said = !in_mm.ok() || *in_mm == *in_inches;
    size.unit = !said    ? TypedSize::Unit::kBare
                : metric ? TypedSize::Unit::kMillimetre
                         : TypedSize::Unit::kInch;
    const auto whole = base::parse_whole_number(size.text);
    if (whole.ok() && *whole >= 0 && *whole < 100000) size.whole = static_cast<int>(*whole);
    query_.sizes.push_back(std::move(size));
    return base::Done{};
  }

  base::Status exclude_contradictions() const {
    const StockQuery& q = query_;
    const std::pair<bool, const char*> kinds[] = {
        {q.bar || q.flat, "bar"},
        {q.angle, "an angle"},
        {q.channel, "a channel"},
        {q.pipe || q.nps || q.dn || !q.schedule.empty() || !q.series.empty(), "pipe"},
        {q.conduit || !q.conduit_kind.empty(), "conduit"},
        {!q.bar && (q.hollow || q.square || q.rectangular), "hollow section"},
        {q.copper && !q.pipe, "copper tube"},
        {q.hydraulic && !q.pipe, "hydraulic tube"}};
    const char* said = nullptr;
    for (const auto& [yes, name] : kinds) {
      if (!yes) continue;
      if (said != nullptr) {
        return fail("query", fmt::format("it cannot be both {} and {}", said, name),
                    "say one of the two");
      }
      said = name;
    }
    if ((q.square && q.rectangular) || (q.round && (q.square || q.rectangular || q.flat))) {
      return fail("query", "two shapes exclude each other",
                  "say one of round, square, rectangular");
    }
    return base::Done{};
  }

  std::string_view text_;
  base::LengthRules rules_;
  std::vector<TypedToken> tokens_;
  std::size_t at_ = 0;
  std::string letter_;   // L, U or C before the first size
  bool parted_ = false;  // an x, or a word that does its work, since the last size
  StockQuery query_;
};

}  // namespace

base::Result<StockQuery> read_stock_query(std::string_view text, const base::LengthRules& rules) {
  return QueryReader(text, rules).read();
}

}  // namespace bight::stock
