#include "exchange/rack.h"

#include <gtest/gtest.h>

namespace bight::exchange {
namespace {

base::Result<RackTube> rack_of(const char* json) {
  return read_rack_tube(document_of(nlohmann::ordered_json::parse(json), ""));
}

TEST(Rack, ReadsWhatLiesThere) {
  const RackTube rack = rack_of(R"({"schema": 1, "units": "in", "od": 1, "wall": 0.065,
      "material": "304L annealed", "heat": "S118", "length": 240, "pieces": 4, "place": "rack 3"})")
                            .value();
  EXPECT_NEAR(rack.tube.section.height_mm(), 25.4, 1e-9);
  EXPECT_NEAR(*rack.length_mm, 6096.0, 1e-9);
  EXPECT_EQ(rack.sticks, 4);
  EXPECT_EQ(rack.place, "rack 3");
  EXPECT_EQ(rack.tube.material.heat, "S118");
}

TEST(Rack, ListInAFile) {
  const auto rack = read_rack(
                        "schema = 1\n[[tube]]\nsize = \"25 x 1.5\"\nmaterial = \"304L annealed\"\n"
                        "length = \"6 m\"\n\n[[tube]]\nsize = \"1 x 0.065 in tube\"\n"
                        "material = \"304L annealed\"\nlength = \"20 ft\"\npieces = 3\n",
                        "stock.toml")
                        .value();
  ASSERT_EQ(rack.size(), 2u);
  EXPECT_NEAR(*rack[0].length_mm, 6000.0, 1e-9);
  EXPECT_EQ(rack[1].sticks, 3);
  EXPECT_TRUE(read_rack("", "stock.toml")->empty());
  EXPECT_EQ(read_rack("[[tubes]]\n", "stock.toml").failure().code, "key.unknown");
}

TEST(Rack, SaysWhatCannotBe) {
  const auto refused = [](const char* json) { return rack_of(json).failure().code; };
  EXPECT_EQ(refused(R"({"size": "25 x 1.5", "material": "304L", "length": -1})"), "shop.value");
  EXPECT_EQ(refused(R"({"size": "25 x 1.5", "material": "304L", "pieces": -1})"), "shop.value");
  EXPECT_EQ(refused(R"({"size": "25 x 1.5", "material": "304L", "colour": "red"})"), "key.unknown");
  EXPECT_EQ(refused(R"({"material": "304L"})"), "part.tube");
  EXPECT_EQ(refused(R"({"size": "25 x 1.5"})"), "key.missing");
}

TEST(Rack, SameStockWhicheverWayItIsBent) {
  const auto tube = [](const char* size, const char* metal) {
    return read_rack_tube(document_of({{"size", size}, {"material", metal}}, "")).value().tube;
  };
  const Tube flat = tube("40 x 20 x 2 RHS", "304L annealed");
  Tube turned = flat;
  turned.section = flat.section.turned();
  EXPECT_TRUE(same_stock(flat, turned));
  EXPECT_FALSE(same_stock(flat, tube("40 x 20 x 3 RHS", "304L annealed")));
  EXPECT_FALSE(same_stock(tube("25 x 1.5", "304L annealed"), tube("25 x 1.5", "316L annealed")));
  EXPECT_FALSE(same_stock(tube("25 x 1.5", "304L annealed"), tube("25 x 2", "304L annealed")));
  EXPECT_FALSE(same_stock(tube("25 x 1.5", "304L annealed"), tube("30 x 1.5", "304L annealed")));
}

TEST(Rack, AsJson) {
  planning::SticksRequest request;
  request.cut_mm = 1205;
  request.pieces = 10;
  request.rack = {{"S118", 6000, 2}};
  const auto json = sticks_json(request, planning::plan_sticks(request).value());
  EXPECT_EQ(json["per_stick"], 4);
  EXPECT_EQ(json["to_buy"], 1);
  EXPECT_EQ(json["to_buy_mm"], 6000.0);
  EXPECT_EQ(json["rack"][0]["pieces"], 8);
  EXPECT_NEAR(json["over_mm"], 7.4, 1e-9);
  EXPECT_EQ(json["findings"][0]["code"], "sticks.unproven");
}

}  // namespace
}  // namespace bight::exchange
