#include "service/shop_entries.h"

#include "service/service_test_util.h"

namespace bight::service {
namespace {

std::string kind_in(const std::string& text) {
  TakenIds taken;
  const auto entries = entries_of_file(text, "rail one.toml", taken);
  if (!entries.ok()) return entries.failure().code;
  return std::string(records::kind_name(entries->front().kind)) + "/" + entries->front().id;
}

TEST(ShopEntries, WhatAFileHolds) {
  EXPECT_EQ(kind_in("name = \"S\"\ngroove_slack = 0.2\n"), "house/house");
  EXPECT_EQ(kind_in("name = \"R\"\n[tube]\nsize = \"25 x 1.5\"\n[line]\nradius = 5\n"),
            "part/rail-one");
  EXPECT_EQ(kind_in("[[bender]]\nname = \"One\"\n"), "bender/one");
  EXPECT_EQ(kind_in("[bender]\nname = \"One\"\n"), "folder.list");
  EXPECT_EQ(kind_in("schema = 1\n"), "folder.entry");
  EXPECT_EQ(kind_in("name = \"S\"\nwalls = 3\n"), "folder.entry");
}

TEST(ShopEntries, LinesOfAnEntry) {
  TakenIds taken;
  const auto entries = *entries_of_file(
      "[[bender]]\nname = \"One\"\n\n[[bender]]\nname = \"Two\"\nsize_max = 3\n", "b.toml", taken);
  ASSERT_EQ(entries.size(), 2u);
  EXPECT_EQ(entries[1].line, 4);
  EXPECT_EQ(entries[1].lines.at("size_max"), 6);
}

class ShopEntriesTest : public test::ServiceTest {};

// The record of the same name is the one meant, whatever its id; one taken off comes back.
TEST_F(ShopEntriesTest, FindsItsRecordAndBringsItBack) {
  put("die_set", "k3f9", {{"name", "38R76"}, {"radius", 76}, {"groove", 38.1}, {"clamp", 80}});
  TakenIds taken;
  auto entries = *entries_of_file(
      "[[die_set]]\nname = \"38R76\"\nradius = 76.2\ngroove = 38.1\nclamp = 80\n", "d.toml", taken);
  ASSERT_TRUE(find_records(*store_, entries).ok());
  EXPECT_EQ(entries[0].id, "k3f9");
  EXPECT_EQ(fate_of(*store_, entries[0])->deed, Deed::kChange);
  EXPECT_EQ(fate_of(*store_, entries[0])->keys, std::vector<std::string>{"radius"});
  ASSERT_TRUE(take_entry(*store_, entries[0], "KB").ok());
  EXPECT_EQ(fate_of(*store_, entries[0])->deed, Deed::kSame);
  const auto id = *records::RecordId::parse("k3f9");
  ASSERT_TRUE(store_->withdraw({records::Kind::kDieSet, id, 2, "KB", ""}).result.ok());
  EXPECT_EQ(fate_of(*store_, entries[0])->deed, Deed::kRestore);
  EXPECT_EQ(take_entry(*store_, entries[0], "KB")->deed, Deed::kRestore);
  EXPECT_EQ(fate_of(*store_, entries[0])->deed, Deed::kSame);
}

}  // namespace
}  // namespace bight::service
