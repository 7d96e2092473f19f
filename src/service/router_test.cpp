#include "service/router.h"

#include <gtest/gtest.h>

namespace bight::service {
namespace {

TEST(Router, FindsRoutesAndFillsHoles) {
  Router router;
  router.add({"GET", "/a/{x}", [](const Request&) { return Reply{}; }});
  router.add({"PUT", "/a/{x}", [](const Request&) { return Reply{}; }});
  router.add({"GET", "/a/{x}/b", [](const Request&) { return Reply{}; }});
  const auto found = router.find("GET", "/a/q%41");
  ASSERT_TRUE(found.ok());
  EXPECT_EQ(found->holes, std::vector<std::string>{"qA"});
  EXPECT_EQ(found->route->pattern, "/a/{x}");
  EXPECT_EQ(router.find("HEAD", "/a/q/b")->route->pattern, "/a/{x}/b");
  EXPECT_EQ(router.find("DELETE", "/a/q").failure().code, "request.method");
  EXPECT_EQ(router.find("DELETE", "/a/q").failure().remedy, "one of: GET, PUT");
  for (const char* nothing : {"/a", "/a/", "/a/b/c", "", "/", "//", "/a/b/b/b"}) {
    EXPECT_EQ(router.find("GET", nothing).failure().code, "request.route") << nothing;
  }
}

}  // namespace
}  // namespace bight::service
