#include "service/folders.h"

#include <fstream>

#include "exchange/text_file.h"
#include "service/service_test_util.h"

namespace bight::service {
namespace {

class FoldersTest : public test::ServiceTest {
 protected:
  // Numbers count as what they are: 90.0 is 90.
  std::map<std::string, test::Json> documents() {
    std::map<std::string, test::Json> all;
    for (const auto kind :
         {records::Kind::kHouse, records::Kind::kBender, records::Kind::kDieSet,
          records::Kind::kTrial, records::Kind::kMaterial, records::Kind::kPart}) {
      const std::vector<records::Record> list = *records_in_order(*store_, kind);
      for (const records::Record& record : list) {
        all[std::string(records::kind_name(kind)) + "/" + record.head.id.text()] =
            test::Json::parse(record.document);
      }
    }
    return all;
  }
};

const std::string kDemo = std::string(BIGHT_SOURCE_DIR) + "/examples/fenwater";

TEST_F(FoldersTest, TheDemoShopGoesInAndComesOutAsItWas) {
  const FolderTexts texts = *read_folder_texts(kDemo);
  const auto taken = take_folder(*store_, texts, "KB");
  ASSERT_TRUE(taken.ok()) << taken.failure().text();
  EXPECT_GT(taken->added, 20);
  const auto before = documents();
  EXPECT_TRUE(read_shop_view(*store_)->bad.empty());
  EXPECT_EQ(take_folder(*store_, texts, "KB")->same, taken->added) << "again changes nothing";
  const std::filesystem::path out = folder_.path() / "out";
  ASSERT_TRUE(write_folder(*store_, out).ok());
  // What was written reads as the same documents, here and in an empty shop.
  EXPECT_EQ(take_folder(*store_, *read_folder_texts(out), "KB")->same, taken->added);
  store_ = open_shop(folder_.path() / "other").value();
  ASSERT_TRUE(take_folder(*store_, *read_folder_texts(out), "KB").ok());
  EXPECT_EQ(documents(), before);
  EXPECT_EQ(write_folder(*store_, out).failure().code, "folder.exists");
}

TEST_F(FoldersTest, WhatDiffersBecomesARevision) {
  FolderTexts texts;
  texts.name = "f";
  texts.shop.shop = "name = \"A\"\n";
  texts.shop.die_sets =
      "units = \"in\"\n[[die_set]]\nname = \"1 in, long\"\nradius = 3\ngroove = 1\nclamp = 2\n";
  texts.parts = {{"Top Rail.toml", "name = \"Top rail\"\n"}};
  EXPECT_EQ(take_folder(*store_, texts, "KB")->added, 3);
  EXPECT_EQ(read_shop_view(*store_)->shop.die_sets.at(0).radius_mm, 76.2);
  texts.shop.shop = "name = \"B\"\n";
  const TakenFolder again = *take_folder(*store_, texts, "KB");
  EXPECT_EQ(again.continued, 1);
  EXPECT_EQ(again.same, 2);
  EXPECT_TRUE(store_->get(records::Kind::kPart, *records::RecordId::parse("top-rail")).ok());
}

TEST_F(FoldersTest, NothingIsWrittenWhereSomethingCannotBeRead) {
  FolderTexts texts;
  texts.shop.shop = "name = \"A\"\n";
  texts.shop.benders = "bender = 3\n";
  EXPECT_EQ(take_folder(*store_, texts, "").failure().code, "folder.list");
  texts.shop.benders = "[[bender\n";
  EXPECT_EQ(take_folder(*store_, texts, "").failure().code, "toml.syntax");
  EXPECT_EQ(*store_->latest_change(), 0);
}

// Materials in MPa and ksi, with either decimal mark, go out and come in as the same metals.
TEST_F(FoldersTest, OwnMaterials) {
  furnish();
  put("material", "rack",
      {{"schema", 1}, {"name", "Rack 304L"}, {"like", "304L annealed"}, {"rp02", "38 ksi"}});
  const std::filesystem::path out = folder_.path() / "out";
  ASSERT_TRUE(write_folder(*store_, out).ok());
  const std::string text = exchange::read_text_file((out / "materials.toml").string()).value();
  EXPECT_NE(text.find("rp02 = \"38 ksi\""), std::string::npos) << text;
  put("material", "comma",
      {{"name", "Reed"}, {"like", "S235JRH"}, {"decimal_mark", "comma"}, {"rp02", "36,5 ksi"}});
  const ShopView before = *read_shop_view(*store_);
  const std::filesystem::path mixed = folder_.path() / "mixed";
  ASSERT_TRUE(write_folder(*store_, mixed).ok());
  store_ = open_shop(folder_.path() / "other").value();
  ASSERT_TRUE(take_folder(*store_, *read_folder_texts(mixed), "KB").ok());
  EXPECT_EQ(read_shop_view(*store_)->shop.materials, before.shop.materials);
}

// Entries that say their lengths in different units meet in one file, in millimetres.
TEST_F(FoldersTest, MixedUnitsAreWrittenInMillimetres) {
  furnish();
  put("die_set", "inch",
      {{"name", "1R3"}, {"units", "in"}, {"radius", 3}, {"groove", 1}, {"clamp", 2}});
  const ShopView before = *read_shop_view(*store_);
  const std::filesystem::path out = folder_.path() / "out";
  ASSERT_TRUE(write_folder(*store_, out).ok());
  store_ = open_shop(folder_.path() / "other").value();
  ASSERT_TRUE(take_folder(*store_, *read_folder_texts(out), "").ok());
  const ShopView after = *read_shop_view(*store_);
  ASSERT_EQ(after.shop.die_sets.size(), before.shop.die_sets.size());
  for (std::size_t i = 0; i < after.shop.die_sets.size(); ++i) {
    EXPECT_EQ(after.shop.die_sets[i].radius_mm, before.shop.die_sets[i].radius_mm);
    EXPECT_EQ(after.shop.die_sets[i].clamp_mm, before.shop.die_sets[i].clamp_mm);
  }
}

TEST_F(FoldersTest, Slugs) {
  EXPECT_EQ(slug("38R114, long clamp"), "38r114-long-clamp");
  EXPECT_EQ(slug("  --A"), "--a");
  EXPECT_TRUE(slug("Ü").starts_with("x-"));
  EXPECT_LE(slug(std::string(200, 'a')).size(), 64u);
  EXPECT_NE(slug(std::string(200, 'a')), slug(std::string(201, 'a')));
}

}  // namespace
}  // namespace bight::service
