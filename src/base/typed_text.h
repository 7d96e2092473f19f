// Cuts what a person typed into tokens, folding the many ways a keyboard writes the same mark.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/exact_ratio.h"
#include "base/number.h"
#include "base/result.h"

namespace bight::base {

// One piece of typed text. `spaced`: white space stands before it.
struct TypedToken {
  enum class Kind {
    kDigits,       // 0-9 only
    kPoint,        // .
    kComma,        // ,
    kSlash,        // / and the fraction slash
    kHyphen,       // - and its typographic relatives, the minus sign too
    kPlus,         // +
    kPrime,        // ' and its relatives: feet, minutes of arc
    kDoublePrime,  // " and its relatives: inches, seconds of arc
    kDegree,       // the degree sign and the ordinal that looks like it
    kVulgar,       // a fraction written as one character, in num and den
    kWord,         // letters a-z, lower-cased
    kOther         // anything else, one character
  };
  Kind kind = Kind::kOther;
  std::string text;
  unsigned num = 0;
  unsigned den = 0;
  bool spaced = false;
};

// UTF-8 in; a byte that is not UTF-8 becomes a kOther token. Never fails.
std::vector<TypedToken> tokenise(std::string_view text);

// The text in quotation marks for a message: at most 40 bytes, control characters and bytes that
// are not UTF-8 replaced by '?'.
std::string as_typed(std::string_view text);

// A number as typed, exactly.
struct TypedNumber {
  ExactRatio value;
  bool whole = true;     // written without decimals
  int whole_digits = 0;  // digits before the mark
};

// What a reader reads, and the codes of the failures that all readers share.
struct TypedArea {
  std::string_view name;   // "length", "angle"
  std::string_view text;   // code: empty, longer than 80 bytes, stray text
  std::string_view comma;  // code: the other decimal mark, or two marks in one number
  std::string_view range;  // code: more than 9 digits before the mark or 20 after it
};

// A letter that stands where a digit belongs: O for 0, l and I for 1, S for 5, B for 8, Z for 2.
struct MistakenLetter {
  char letter = 'O';
  std::string meant;  // the text with digits for all of them
};
// None where the text would still be no number, with or without a unit of length or angle.
std::optional<MistakenLetter> mistaken_letter(std::string_view text);

// Walks over tokens. The text outlives the reader.
class TypedReader {
 public:
  TypedReader(std::string_view text, const TypedArea& area, DecimalMark mark);

  // Failure codes: area.text, area.comma.
  Status check() const;

  bool done() const { return at_ >= tokens_.size(); }
  // The token `ahead` places on; a kOther without text past the end.
  const TypedToken& peek(std::size_t ahead = 0) const;
  bool is(TypedToken::Kind kind, std::size_t ahead = 0) const { return peek(ahead).kind == kind; }
  bool tight(std::size_t ahead = 0) const { return !peek(ahead).spaced; }
  void skip(std::size_t count = 1) { at_ += count; }

  // A sign at the very start, standing against what follows. True when it is a minus.
  // Failure code: area.text.
  Result<bool> take_sign();
  // Digits with or without decimals. Failure codes: area.text, area.comma, area.range.
  Result<TypedNumber> take_number();

  // Of a text or a unit that cannot be read a mistaken letter is said instead, if there is one.
  Failure fail(std::string_view code, std::string message, std::string remedy) const;
  Failure stray() const;  // area.text about the token at hand
  // What was typed, in quotation marks.
  std::string typed() const { return as_typed(text_); }

 private:
  char mark_char() const { return mark_ == DecimalMark::kComma ? ',' : '.'; }

  std::string_view text_;
  TypedArea area_;
  DecimalMark mark_;
  std::vector<TypedToken> tokens_;
  std::size_t at_ = 0;
};

}  // namespace bight::base
