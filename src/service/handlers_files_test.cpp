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
  EXPECT_EQ(read["part"]["line"]["bends"].size(), 1u);
  EXPECT_EQ(read["table"]["corners_mm"].size(), 3u);
  const Json whole = json(ask("POST",
                              "/read?answer=units=mm&answer=radius=50&size=25%20x%201.5"
                              "&material=304L%20annealed",
                              cells));
  EXPECT_EQ(whole["complete"], true) << whole.dump();
  EXPECT_EQ(json(post("/part/check", {{"part", whole["part"]}}))["errors"].size(), 0u);
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
