#include "exchange/shop_bodies.h"

#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>

#include "exchange/cloud_bytes_test_util.h"
#include "exchange/shop_toml.h"

namespace bight::exchange {
namespace {

using workshop::CarriedBy;

constexpr const char* kBender = "[[bender]]\nname = \"One\"\nsize_max = 60\ndie_radius_max = 260\n";

base::Result<workshop::Shop> shop_with(const std::string& keys) {
  return read_shop({"name = \"S\"", kBender + keys, "", ""}, "f");
}

base::Failure failure(const std::string& keys) {
  const base::Result<workshop::Shop> shop = shop_with(keys);
  return shop.ok() ? base::Failure{} : shop.failure();
}

std::string code(const std::string& keys) { return failure(keys).code; }

std::string body(const std::string& keys) {
  return "[[bender.body]]\nname = \"it\"\n" + keys + "\n";
}

TEST(ShopBodies, ReadsEveryKind) {
  const base::Result<workshop::Shop> shop = shop_with(R"(
levels = [0, "3 in"]
clamp_opens = 50
pressure_die_opens = 40
pressure_die_follows = true
mandrel_rod = 3000
lift = 0
[bender.room]
floor = 1050
ceiling = "9 ft"
[[bender.room.wall]]
name = "back"
direction = 90
distance = 800
[[bender.body]]
name = "column"
box = [400, 360, "0.9 m"]
at = [0, 0, -530]
turned = [0, "30 deg", 45]
[[bender.body]]
name = "pin"
on = "arm"
cylinder = { diameter = 60, length = 100 }
[[bender.body]]
name = "clamp block"
on = "clamp"
outline = [[0, 0], [10, 0], [0, 10]]
height = 70
[[bender.body]]
name = "slide"
on = "pressure-die"
mesh = { file = "meshes/slide.stl", unit = "in" }
[[bender.body]]
name = "operator"
on = "carriage"
box = [600, 600, 1800]
keep_out = true
)");
  ASSERT_TRUE(shop.ok()) << shop.failure().text();
  const workshop::Surroundings& around = shop->benders[0].around;
  EXPECT_EQ(around.levels_mm, (std::vector<double>{0, 76.2}));
  EXPECT_EQ(around.clamp_opens_mm, 50);
  EXPECT_EQ(around.pressure_die_opens_mm, 40);
  EXPECT_TRUE(around.pressure_die_follows);
  EXPECT_EQ(around.mandrel_rod_mm, 3000);
  EXPECT_EQ(around.lift_mm, 0);
  EXPECT_EQ(around.room.floor_mm, 1050);
  EXPECT_DOUBLE_EQ(*around.room.ceiling_mm, 2743.2);
  ASSERT_EQ(around.room.walls.size(), 1u);
  EXPECT_EQ(around.room.walls[0].distance_mm, 800);
  ASSERT_EQ(around.bodies.size(), 5u);
  EXPECT_EQ(std::get<workshop::BoxShape>(around.bodies[0].shape).size_mm.z(), 900);
  EXPECT_DOUBLE_EQ(around.bodies[0].turned[1].deg(), 30);
  EXPECT_EQ(around.bodies[0].on, CarriedBy::kFrame);
  EXPECT_EQ(std::get<workshop::CylinderShape>(around.bodies[1].shape).radius_mm, 30);
  EXPECT_EQ(around.bodies[2].on, CarriedBy::kClamp);
  EXPECT_EQ(std::get<workshop::OutlineShape>(around.bodies[2].shape).outline_mm.size(), 3u);
  EXPECT_EQ(std::get<workshop::MeshShape>(around.bodies[3].shape).unit_mm, 25.4);
  EXPECT_EQ(around.bodies[3].on, CarriedBy::kPressureDie);
  EXPECT_TRUE(around.bodies[4].keep_out);
  EXPECT_EQ(around.bodies[4].on, CarriedBy::kCarriage);
}

TEST(ShopBodies, ABodyHasOneShapeWithAVolume) {
  EXPECT_EQ(code(body("")), "shop.body");
  EXPECT_EQ(code(body("box = [1, 1, 1]\ncylinder = { diameter = 1, length = 1 }")), "shop.body");
  EXPECT_EQ(code(body("box = [1, 0, 1]")), "shop.body");
  EXPECT_EQ(code(body("box = [1, 1]")), "key.value");
  EXPECT_EQ(code(body("box = [1, 1, 1]\nheight = 5")), "shop.body");
  EXPECT_EQ(code(body("cylinder = { diameter = 0, length = 1 }")), "shop.body");
  EXPECT_EQ(code(body("cylinder = { diameter = 1 }")), "key.missing");
  EXPECT_EQ(code(body("outline = [[0, 0], [1, 1], [1, 0], [0, 1]]\nheight = 5")), "shop.body");
  EXPECT_EQ(code(body("outline = [[0, 0], [1, 0]]\nheight = 5")), "shop.body");
  EXPECT_EQ(code(body("outline = [[0, 0], [1, 0], [0, 1]]")), "key.missing");
  EXPECT_EQ(code(body("outline = [[0, 0], [1, 0], [0, 1]]\nheight = -1")), "shop.body");
  EXPECT_EQ(code(body("outline = [[0, 0, 1]]\nheight = 1")), "key.value");
  EXPECT_EQ(code(body("box = [1, 1, 1]\nat = [0, 0]")), "key.value");
  EXPECT_EQ(code(body("box = [1, 1, 1]\nturned = [0, 0]")), "key.value");
  EXPECT_EQ(code(body("box = [1, 1, 1]\nturned = [0, 0, \"x\"]")), "angle.text");
  EXPECT_EQ(code(body("box = [1, 1, 1]\non = \"table\"")), "key.value");
  EXPECT_EQ(code(body("box = [1, 1, 1]\ncolour = \"red\"")), "key.unknown");
  EXPECT_EQ(failure(body("box = [1, 0, 1]")).where, "f/benders.toml:7: bender[1].body[1].box");
}

TEST(ShopBodies, NamesTellBodiesApart) {
  EXPECT_EQ(code(body("box = [1, 1, 1]") + body("box = [1, 1, 1]")), "shop.name-twice");
  EXPECT_EQ(code("[[bender.body]]\nname = \"floor\"\nbox = [1, 1, 1]"), "shop.name-twice");
  EXPECT_EQ(code("[[bender.room.wall]]\nname = \"it\"\ndirection = 0\ndistance = 5\n" +
                 body("box = [1, 1, 1]")),
            "shop.name-twice");
}

TEST(ShopBodies, RoomAndMovementMustBePossible) {
  EXPECT_EQ(code("[bender.room]\nfloor = 0"), "shop.value");
  EXPECT_EQ(code("[bender.room]\nceiling = -5"), "shop.value");
  EXPECT_EQ(code("[[bender.room.wall]]\nname = \"w\"\ndirection = 0\ndistance = 0"), "shop.value");
  EXPECT_EQ(code("[[bender.room.wall]]\nname = \"w\"\ndistance = 1"), "key.missing");
  EXPECT_EQ(code("[bender.room]\nroof = 1"), "key.unknown");
  EXPECT_EQ(code("levels = [10, 20]"), "shop.value");
  EXPECT_EQ(code("levels = [0, 20, 20]"), "shop.value");
  EXPECT_EQ(code("clamp_opens = -1"), "shop.value");
  EXPECT_EQ(code("lift = -1"), "shop.value");
  EXPECT_EQ(code("mandrel_rod = 0"), "shop.value");
}

TEST(ShopBodies, NoMoreThanABenderHas) {
  std::string bodies;
  std::string walls;
  for (std::size_t i = 0; i <= kMostBodies; ++i) {
    bodies += "[[bender.body]]\nname = \"b" + std::to_string(i) + "\"\nbox = [1, 1, 1]\n";
    walls += "[[bender.room.wall]]\nname = \"w" + std::to_string(i) +
             "\"\ndirection = 0\ndistance = 1\n";
  }
  EXPECT_EQ(code(bodies), "key.value");
  EXPECT_EQ(code(walls), "key.value");
  std::string outline = "outline = [";
  for (std::size_t i = 0; i <= kMostOutlineCorners; ++i) outline += "[0, 0], ";
  EXPECT_EQ(code(body(outline + "]\nheight = 1")), "key.value");
}

TEST(ShopBodies, MeshesStayInTheFolder) {
  const auto mesh = [](const std::string& file) {
    return code(body("mesh = { file = \"" + file + "\", unit = \"mm\" }"));
  };
  EXPECT_EQ(mesh("arm.stl"), "");
  EXPECT_EQ(mesh("a/b/arm.ply"), "");
  for (const char* file : {"", "/etc/passwd", "../arm.stl", "a/../../arm.stl", "a//arm.stl",
                           "./arm.stl", "a/", "c:arm.stl", "a\\\\b.stl"}) {
    EXPECT_EQ(mesh(file), "shop.mesh") << file;
  }
  EXPECT_EQ(code(body("mesh = { file = \"arm.stl\" }")), "key.missing");
  EXPECT_EQ(code(body("mesh = { file = \"arm.stl\", unit = \"yard\" }")), "key.value");
}

class ShopMeshes : public ::testing::Test {
 protected:
  void SetUp() override {
    folder_ = ::testing::TempDir() + "bight_shop_bodies";
    std::filesystem::create_directories(folder_ + "/meshes");
    write("shop.toml", "name = \"S\"");
    write("benders.toml", kBender + body("mesh = { file = \"meshes/wedge.stl\", unit = \"cm\" }"));
  }
  void TearDown() override { std::filesystem::remove_all(folder_); }
  void write(const std::string& name, const std::string& bytes) const {
    std::ofstream(folder_ + "/" + name, std::ios::binary) << bytes;
  }
  std::string code() const {
    const auto shop = read_shop_folder(folder_);
    return shop.ok() ? "" : shop.failure().code;
  }
  std::string folder_;
};

const made::Points kCorners{{0, 0, 0}, {4, 0, 0}, {0, 3, 0}, {0, 0, 2}};
const made::Faces kFaces{{0, 2, 1}, {0, 1, 3}, {1, 2, 3}, {0, 3, 2}};

// A wedge of 4 by 3 by 2 cm is 40 by 30 by 20 mm, in either format.
TEST_F(ShopMeshes, AreReadAndScaled) {
  for (const std::string& bytes :
       {made::stl_binary(kCorners, kFaces), made::stl_text(kCorners, kFaces),
        made::ply(kCorners, kFaces, made::Ply::kLittle)}) {
    write("meshes/wedge.stl", bytes);
    const auto shop = read_shop_folder(folder_);
    ASSERT_TRUE(shop.ok()) << shop.failure().text();
    const auto& mesh = std::get<workshop::MeshShape>(shop->benders[0].around.bodies[0].shape);
    EXPECT_EQ(mesh.triangles.size(), 4u);
    Eigen::AlignedBox3d box;
    for (const auto& p : mesh.points_mm) box.extend(p);
    EXPECT_EQ(box.sizes(), geometry::Vec3(40, 30, 20));
  }
}

TEST_F(ShopMeshes, WithoutVolumeAreRefused) {
  EXPECT_EQ(code(), "file.missing");
  write("meshes/wedge.stl", made::stl_text(kCorners, {{0, 1, 2}, {0, 2, 1}}));
  EXPECT_EQ(code(), "shop.mesh");
  write("meshes/wedge.stl", made::xyz(kCorners));
  EXPECT_EQ(code(), "shop.mesh");
  write("meshes/wedge.stl", "solid nothing");
  EXPECT_EQ(code(), "cloud.empty");
  write("meshes/wedge.stl", made::stl_text({{0, 0, 0}, {4e9, 0, 0}, {0, 3, 0}, {0, 0, 2}}, kFaces));
  EXPECT_EQ(code(), "shop.mesh");
}

TEST(ShopBodies, MeshUnits) {
  for (const char* word : {"mm", "cm", "m", "in"}) {
    EXPECT_EQ(mesh_unit_word(*mesh_unit_mm(word)), word);
  }
  EXPECT_EQ(mesh_unit_mm("yard"), std::nullopt);
}

}  // namespace
}  // namespace bight::exchange
