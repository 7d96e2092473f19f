#include "service/shop_view.h"

#include "service/service_test_util.h"

namespace bight::service {
namespace {

class ShopViewTest : public test::ServiceTest {};

TEST_F(ShopViewTest, ReadsWhatCanBeReadInOrder) {
  furnish();
  put("die_set", "bad", {{"name", "X"}, {"radius", "wide"}, {"groove", -1}});
  put("die_set", "twin", {{"name", "25R76"}, {"radius", 70}, {"groove", 25}, {"clamp", 60}});
  const ShopView view = *read_shop_view(*store_);
  EXPECT_EQ(view.shop.name, "Bench");
  ASSERT_EQ(view.shop.die_sets.size(), 2u);
  EXPECT_EQ(view.shop.die_sets[0].name, "25R76");
  EXPECT_EQ(view.die_set_ids, (std::vector<std::string>{"d76", "d114"}));
  ASSERT_EQ(view.bad.size(), 2u);
  EXPECT_EQ(view.bad[0].id, "bad");
  EXPECT_GE(view.bad[0].complaints.size(), 2u);
  EXPECT_EQ(view.bad[1].complaints[0].code, "shop.name-twice");
}

TEST_F(ShopViewTest, ChangingADieSetKeepsItsPlace) {
  furnish();
  const Reply reply =
      ask("PUT", "/records/die_set/d76",
          R"({"document": {"name": "25R76", "radius": 77, "groove": 25, "clamp": 60}})",
          {{"if-match", "\"r1\""}});
  ASSERT_EQ(reply.status, 200) << reply.body;
  EXPECT_EQ(read_shop_view(*store_)->die_set_ids.front(), "d76");
}

TEST_F(ShopViewTest, TheCacheSeesEveryChangeOfTheShop) {
  furnish();
  const auto first = *context_->shop.view();
  put("part", "p", test::rail());
  EXPECT_EQ(*context_->shop.view(), first) << "a part is not of the shop";
  put("bender", "b2", {{"name", "B2"}, {"size_max", 40}, {"die_radius_max", 100}});
  const auto second = *context_->shop.view();
  EXPECT_EQ(second->shop.benders.size(), 2u);
  ask("POST", "/records/bender/b2/withdraw", "", {{"if-match", "\"r1\""}});
  EXPECT_EQ((*context_->shop.view())->shop.benders.size(), 1u);
}

TEST_F(ShopViewTest, Times) {
  EXPECT_EQ(time_text(records::Instant(std::chrono::milliseconds(1'772'359'200'123))),
            "2026-03-01T10:00:00.123Z");
}

}  // namespace
}  // namespace bight::service
