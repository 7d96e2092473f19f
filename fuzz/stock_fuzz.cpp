// Any text is a failure with a code, or answers whose sections have a bore and a name.
#include <cstddef>
#include <cstdint>
#include <string>

#include "base/check.h"
#include "stock/catalogue.h"
#include "stock/metals.h"

namespace {

using bight::stock::find_metal;
using bight::stock::find_stock;
using bight::stock::Metals;
using bight::stock::SizeTables;
using bight::stock::StockAnswer;

void check_answer(const StockAnswer& answer) {
  BIGHT_CHECK(!answer.size.designation.empty());
  BIGHT_CHECK(answer.listed != answer.size.standard.empty());
  BIGHT_CHECK(answer.size.section.area_mm2() > 0.0);
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
  static const SizeTables tables = *SizeTables::built_in();
  static const Metals metals = *Metals::built_in();
  const std::string text(bytes, bytes + size);
  const auto metal = find_metal(metals, text);
  BIGHT_CHECK(metal.ok() || metal.failure().code.rfind("metal.", 0) == 0);
  for (const auto unit : {bight::base::LengthUnit::kMillimetre, bight::base::LengthUnit::kInch}) {
    const auto found = find_stock(tables, text, {unit});
    if (!found.ok()) {
      const std::string& code = found.failure().code;
      BIGHT_CHECK(code.rfind("stock.", 0) == 0 || code.rfind("section.", 0) == 0);
      continue;
    }
    BIGHT_CHECK(!found->reading.empty());
    for (const StockAnswer& answer : found->matches) check_answer(answer);
    for (const StockAnswer& answer : found->near) check_answer(answer);
    static_cast<void>(choose_stock(tables, text, {unit}));
  }
  return 0;
}
