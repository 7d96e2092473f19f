#include "service/service_test_util.h"

namespace bight::service {
namespace {

using test::Json;

class FilesTest : public test::ServiceTest {};

TEST_F(FilesTest, AskedAndAnswered) {
  const std::string cells = "x\ty\tz\n0\t0\t0\n400\t0\t0\n400\t300\t0\n";
  const Json first = json(ask("POST", "/read?name=cells.tsv", cells));
  ASSERT_TRUE(first.contains("questions")) << first.dump();
  ASSERT_GE(first["questions"].size(), 1u);
  EXPECT_TRUE(first["part"].is_null());
  const Reply reply = ask("POST", "/read?name=cells.tsv&answer=units=mm&answer=radius=50", cells);
  const Json read = json(reply);
  ASSERT_EQ(read["questions"].size(), 0u) << read.dump();
  EXPECT_EQ(read["complete"], false);
  EXPECT_EQ(read["part"]["name"], "cells");
  EXPECT_EQ(read["part"]["line"]["corners"], Json::parse("[[0,0,0],[400,0,0],[400,300,0]]"));
  EXPECT_EQ(read["part"]["line"]["radius"], 50);
  EXPECT_EQ(read["table"]["corners_mm"].size(), 3u);
  const Json whole = json(ask("POST",
                              "/read?answer=units=mm&answer=radius=50&size=25%20x%201.5"
                              "&material=304L%20annealed",
                              cells));
  EXPECT_EQ(whole["complete"], true) << whole.dump();
  EXPECT_EQ(json(post("/part/check", {{"part", whole["part"]}}))["errors"].size(), 0u);
}

// Corners stay corners, in the unit and the numbers of whoever sent them.
TEST_F(FilesTest, CornersStayAsTyped) {
  const std::string cells =
      "X (in)\tY (in)\tZ (in)\n0\t0\t0\n16 1/2\t0\t0\n16 1/2\t12.25\t0\n28\t12.25\t7\n";
  for (const std::string more : {"", "&size=1%20in%20x%200.065%20in&material=304L%20annealed"}) {
    const Json read = json(ask("POST", "/read?answer=radius=4%201/2%20in" + more, cells));
    ASSERT_EQ(read["questions"].size(), 0u) << read.dump();
    EXPECT_EQ(read["part"]["units"], "in");
    EXPECT_EQ(read["part"]["line"]["corners"],
              Json::parse(R"([[0,0,0],["16 1/2",0,0],["16 1/2",12.25,0],[28,12.25,7]])"))
        << read.dump();
    EXPECT_EQ(read["part"]["line"]["radius"], "4 1/2 in");
    EXPECT_NEAR(read["table"]["corners_mm"][1][0].get<double>(), 16.5 * 25.4, 1e-9);
  }
  // Turned round, the corners are still corners.
  const Json round = json(ask("POST", "/read?answer=radius=114.3&swap_ends=true", cells));
  EXPECT_EQ(round["part"]["line"]["corners"].size(), 4u) << round.dump();
}

TEST_F(FilesTest, BlobsNamesAndFailures) {
  const std::string id = json(ask("POST", "/blobs", "name = \"x\"\n"))["id"];
  const Reply bad = ask("POST", "/read?name=../../x.toml&blob=" + id);
  EXPECT_EQ(bad.status, 422) << bad.body;
  EXPECT_EQ(bad.body.find("bight-read-"), std::string::npos) << "no word of our own folders";
  EXPECT_EQ(code(ask("POST", "/read")), "request.empty");
  EXPECT_EQ(code(ask("POST", "/read?answer=sofa=1", "x")), "ask.unknown");
  EXPECT_EQ(code(ask("POST", "/read?format=sofa", "x")), "input.format");
  EXPECT_EQ(ask("GET", "/jobs/nosuch").status, 404);
  EXPECT_EQ(ask("DELETE", "/jobs/nosuch").status, 404);
}

}  // namespace
}  // namespace bight::service
