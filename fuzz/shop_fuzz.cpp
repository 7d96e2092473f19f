// Any bytes as the files of a shop, cut at form feeds: a Failure with a code, or a shop.

#include <cstddef>
#include <cstdint>
#include <string>

#include "base/check.h"
#include "exchange/shop_toml.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  bight::exchange::ShopTexts texts;
  std::string* const files[] = {&texts.shop,   &texts.benders,   &texts.die_sets,
                                &texts.trials, &texts.materials, &texts.stock};
  std::size_t file = 0;
  for (std::size_t i = 0; i < size; ++i) {
    if (data[i] == '\f' && file < 5) {
      ++file;
    } else {
      files[file]->push_back(static_cast<char>(data[i]));
    }
  }
  const bight::base::Result<bight::workshop::Shop> shop = bight::exchange::read_shop(texts, "fuzz");
  if (!shop.ok()) {
    BIGHT_CHECK(!shop.failure().code.empty() && !shop.failure().message.empty());
  }
  return 0;
}
