#include "exchange/sticks_json.h"

#include <gtest/gtest.h>

namespace bight::exchange {
namespace {

TEST(SticksJson, SaysAll) {
  planning::SticksRequest request;
  request.cut_mm = 1205;
  request.pieces = 10;
  request.rack = {{"S118", "rack 3", 6000, 2}};
  const auto json = sticks_json(request, planning::plan_sticks(request).value());
  EXPECT_EQ(json["per_stick"], 4);
  EXPECT_EQ(json["to_buy"], 1);
  EXPECT_EQ(json["to_buy_mm"], 6000.0);
  EXPECT_EQ(json["rack"][0]["pieces"], 8);
  EXPECT_EQ(json["rack"][0]["place"], "rack 3");
  EXPECT_NEAR(json["over_mm"], 7.4, 1e-9);
  EXPECT_EQ(json["findings"][0]["code"], "sticks.unproven");
}

}  // namespace
}  // namespace bight::exchange
