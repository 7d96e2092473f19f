#include "exchange/shop_toml.h"

#include <gtest/gtest.h>

#include "exchange/complaints.h"
#include "exchange/part_toml.h"
#include "exchange/part_toml_write.h"

namespace bight::exchange {
namespace {

constexpr const char* kShop = "name = \"S\"";
constexpr const char* kBender = "[[bender]]\nname = \"One\"\nsize_max = 60\ndie_radius_max = 260\n";
constexpr const char* kDie = "[[die_set]]\nname = \"D\"\nradius = 100\ngroove = 38.1\nclamp = 95\n";

std::string code(const ShopTexts& texts) {
  const base::Result<workshop::Shop> shop = read_shop(texts, "f");
  return shop.ok() ? "ok" : shop.failure().code;
}

TEST(ShopToml, ReadsEveryKind) {
  ShopTexts texts{
      kShop,
      std::string(kBender) +
          "kind = \"carriage-fed\"\ntorque_max_nm = 2\ngrip = \"2 in\"\n"
          "wheel_counts_backwards = true\nsection_modulus_max_cm3 = 4\n",
      std::string(kDie) +
          "tail = 110\nlevel = 2\nbenders = [\"One\"]\n[[die_set]]\nname = \"Q\"\n"
          "radius = 90\ngroove_height = 30\ngroove_width = 20\nclamp = 50\n",
      "[[trial]]\ndie = \"D\"\nod = 38.1\nwall = 1.65\nmaterial = \"dom 1020\"\nset = 20\n"
      "finished = 18.2\nblank = 1000\nleg_a_outside = 585.8\nleg_b_outside = 500\n"};
  const workshop::Shop shop = *read_shop(texts, "f");
  EXPECT_EQ(shop.benders[0].kind, workshop::BenderKind::kCarriageFed);
  EXPECT_DOUBLE_EQ(*shop.benders[0].torque_max_nmm, 2000);
  EXPECT_DOUBLE_EQ(*shop.benders[0].grip_mm, 50.8);
  EXPECT_DOUBLE_EQ(*shop.benders[0].section_modulus_max_mm3, 4000);
  EXPECT_TRUE(shop.benders[0].wheel_counts_backwards);
  EXPECT_EQ(shop.die_sets[0].level, 2);
  EXPECT_FALSE(shop.die_sets[1].groove.round);
  EXPECT_DOUBLE_EQ(shop.die_sets[1].groove.width_mm, 20);
  // Trials keep the catalogue's own name for the metal, however it was written.
  EXPECT_EQ(shop.trials[0].material.substr(0, 8), "1020 DOM");
  EXPECT_DOUBLE_EQ(*shop.trials[0].blank_mm, 1000);
}

TEST(ShopToml, InchFiles) {
  const workshop::Shop shop = *read_shop(
      {kShop, "",
       "units = \"in\"\n[[die_set]]\nname = \"D\"\nradius = 4.5\ngroove = 1.5\nclamp = 3\n", ""},
      "f");
  EXPECT_DOUBLE_EQ(shop.die_sets[0].radius_mm, 114.3);
}

TEST(ShopToml, RefusesNonsense) {
  EXPECT_EQ(code({kShop, "", std::string(kDie) + "level = 0\n", ""}), "shop.value");
  EXPECT_EQ(code({kShop, "", std::string(kDie) + "level = 21\n", ""}), "shop.value");
  EXPECT_EQ(code({kShop, "", "",
                  "[[trial]]\ndie = \"D\"\nod = \"1.5 in\"\nwall = \"1.65 in\"\n"
                  "material = \"1020 DOM\"\nset = 90\nfinished = 86"}),
            "shop.value");
  EXPECT_EQ(code({"", "", "", ""}), "toml.empty");
  EXPECT_EQ(code({"groove_slack = 1", "", "", ""}), "key.missing");
  EXPECT_EQ(code({kShop, std::string(kBender) + kBender, "", ""}), "shop.name-twice");
  EXPECT_EQ(code({kShop, "", std::string(kDie) + kDie, ""}), "shop.name-twice");
  EXPECT_EQ(code({kShop, "[[bender]]\nname = \"x\"\nsize_max = 0\ndie_radius_max = 1", "", ""}),
            "shop.value");
  EXPECT_EQ(code({kShop, "", "[[die_set]]\nname = \"D\"\nradius = 5\nclamp = 1", ""}),
            "key.missing");
  EXPECT_EQ(code({kShop, "", std::string(kDie) + "colour = \"red\"", ""}), "key.unknown");
  EXPECT_EQ(code({kShop, "", "",
                  "[[trial]]\ndie = \"D\"\nod = 38.1\nwall = 1.65\nmaterial = \"cheese\"\nset = "
                  "20\nfinished = 18.2"}),
            "metal.unknown");
  EXPECT_EQ(read_shop_folder("no/such/folder").failure().code, "file.missing");
}

// The demo shop reads, and is as large as it claims to be.
TEST(ShopToml, DemoShopReads) {
  const base::Result<workshop::Shop> shop =
      read_shop_folder(std::string(BIGHT_SOURCE_DIR) + "/examples/fenwater");
  ASSERT_TRUE(shop.ok()) << shop.failure().text();
  EXPECT_GE(shop->benders.size(), 2u);
  EXPECT_GE(shop->die_sets.size(), 10u);
}

constexpr const char* kRack =
    "[[material]]\nname = \"Rack 304L\"\nlike = \"304L annealed\"\nrp02 = \"38 ksi\"\n"
    "rm = 610\nelongation_pct = 52\nstrengths_from = \"certificate\"\n";

// NIST SP 811: 1 ksi is 6.894757 MPa.
TEST(ShopToml, OwnMaterials) {
  ShopTexts texts{kShop, "", "", ""};
  texts.materials = kRack;
  texts.trials =
      "[[trial]]\ndie = \"D\"\nod = 38.1\nwall = 1.65\nmaterial = \"rack 304l\"\nset = 20\n"
      "finished = 18.2\n";
  const workshop::Shop shop = *read_shop(texts, "f");
  ASSERT_EQ(shop.materials.size(), 1u);
  EXPECT_NEAR(*shop.materials[0].yield_mpa, 262.0008, 1e-4);
  EXPECT_EQ(shop.materials[0].strengths.origin, stock::Origin::kCertificate);
  EXPECT_EQ(shop.trials[0].material, "Rack 304L");
  const auto part = read_part(
      "name = \"p\"\n[tube]\nsize = \"38.1 x 1.65\"\nmaterial = \"Rack 304L\"\n[line]\n"
      "corners = [[0,0,0],[300,0,0],[300,300,0]]\nradius = 114.3\n",
      "p.toml", *metals_with(shop.materials));
  ASSERT_TRUE(part.ok()) << part.failure().text();
  EXPECT_EQ(part->part.material.yield_mpa.provenance, stock::Provenance::kMillCertificate);
  // Certified itself, it is written by name alone.
  EXPECT_FALSE(part_document(part->part, part->unit)["tube"].contains("certificate"));
}

TEST(ShopToml, OwnMaterialsThatCannotBe) {
  ShopTexts texts{kShop, "", "", ""};
  const auto failure = [&](const std::string& text) {
    texts.materials = text;
    const auto read = read_shop(texts, "f");
    return read.ok() ? "ok" : read.failure().code + " " + read.failure().where;
  };
  EXPECT_EQ(failure(std::string(kRack) + "k = 36000\n"),
            "material.value f/materials.toml:8: material[1].k");
  EXPECT_EQ(failure("[[material]]\nname = \"X\"\n"),
            "material.missing f/materials.toml:1: material[1].rp02");
  EXPECT_EQ(failure(std::string(kRack) + "youngs = \"29000 kips\"\n"),
            "stress.unit f/materials.toml:8: material[1].youngs");
  EXPECT_EQ(failure(std::string(kRack) + "flow_from = \"hearsay\"\n"),
            "key.value f/materials.toml:8: material[1].flow_from");
  EXPECT_EQ(failure(std::string(kRack) + kRack), "shop.name-twice f/materials.toml: Rack 304L");
}

// Each complaint stands at its key, all at once.
TEST(ShopToml, EveryFaultOfAMaterial) {
  const Document document = document_of(
      {{"name", "X"}, {"like", "304L annealed"}, {"elongation_pct", 600}, {"n", 7}}, "");
  const auto all = complaints_about(document, read_material);
  ASSERT_EQ(all.size(), 2u);
  EXPECT_EQ(all[0].where, "elongation_pct");
  EXPECT_EQ(all[0].message, "elongation of 600 % cannot be");
  EXPECT_EQ(all[1].where, "n");
}

}  // namespace
}  // namespace bight::exchange
