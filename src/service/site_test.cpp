#include "service/site.h"

#include <gtest/gtest.h>
#include <zlib.h>

namespace bight::service {
namespace {

const std::string kScript = [] {
  std::string text;
  for (int i = 0; i < 200; ++i) text += "let bench = " + std::to_string(i) + ";\n";
  return text;
}();

Site page() {
  return Site({{"index.html", "<!doctype html><title>Bight</title>"},
               {"assets/main-3f9c2b1a.js", kScript},
               {"icon.svg", "<svg/>"}});
}

std::string header_of(const Reply& reply, const std::string& name) {
  for (const auto& [key, value] : reply.headers) {
    if (key == name) return value;
  }
  return "";
}

std::string unpacked(const std::string& bytes) {
  z_stream stream{};
  EXPECT_EQ(inflateInit2(&stream, 15 + 16), Z_OK);
  std::string out(1 << 20, '\0');
  stream.next_in = reinterpret_cast<Bytef*>(const_cast<char*>(bytes.data()));
  stream.avail_in = static_cast<uInt>(bytes.size());
  stream.next_out = reinterpret_cast<Bytef*>(out.data());
  stream.avail_out = static_cast<uInt>(out.size());
  EXPECT_EQ(inflate(&stream, Z_FINISH), Z_STREAM_END);
  out.resize(stream.total_out);
  inflateEnd(&stream);
  return out;
}

TEST(Site, FilesWithTheirTypesAndCaching) {
  const Site site = page();
  Request request;
  const Reply script = site.answer("/assets/main-3f9c2b1a.js", request);
  EXPECT_EQ(script.type, "text/javascript; charset=utf-8");
  EXPECT_EQ(script.body, kScript);
  EXPECT_EQ(header_of(script, "Cache-Control"), "public, max-age=31536000, immutable");
  const Reply index = site.answer("/", request);
  EXPECT_EQ(index.type, "text/html; charset=utf-8");
  EXPECT_EQ(header_of(index, "Cache-Control"), "no-cache");
  request.headers["if-none-match"] = header_of(index, "ETag");
  EXPECT_EQ(site.answer("/", request).status, 304);
}

TEST(Site, PackedForThoseWhoTakeIt) {
  Request request;
  request.headers["accept-encoding"] = "br, gzip";
  const Reply reply = page().answer("/assets/main-3f9c2b1a.js", request);
  EXPECT_EQ(header_of(reply, "Content-Encoding"), "gzip");
  EXPECT_LT(reply.body.size(), kScript.size() / 2);
  EXPECT_EQ(unpacked(reply.body), kScript);
}

TEST(Site, AddressesOfThePageAreThePage) {
  const Site site = page();
  for (const char* own : {"/jobs", "/part/abc", "/shop/"}) {
    EXPECT_EQ(site.answer(own, {}).type, "text/html; charset=utf-8") << own;
  }
  for (const char* absent : {"/assets/x", "/x.js", "/../etc/passwd.txt", "/assets/../a"}) {
    EXPECT_EQ(site.answer(absent, {}).status, 404) << absent;
  }
  // Whatever is asked for, only files that travel inside the program come back.
  EXPECT_EQ(site.answer("/../../etc/passwd", {}).type, "text/html; charset=utf-8");
}

TEST(Site, WithoutAPageItSaysHowToBuildIt) {
  const Site site({});
  EXPECT_EQ(site.answer("/", {}).status, 200);
  EXPECT_NE(site.answer("/", {}).body.find("tools/build_page.sh"), std::string::npos);
  EXPECT_EQ(site.answer("/jobs", {}).status, 404);
}

TEST(Site, GuardsLetNothingForeignIn) {
  std::string policy;
  for (const auto& [name, value] : guard_headers()) {
    if (name == "Content-Security-Policy") policy = value;
  }
  EXPECT_NE(policy.find("script-src 'self';"), std::string::npos);
  EXPECT_NE(policy.find("default-src 'self';"), std::string::npos);
  EXPECT_EQ(policy.find("http"), std::string::npos);
  EXPECT_TRUE(has_hash("assets/a-12345678.js"));
  EXPECT_FALSE(has_hash("assets/a.js"));
  EXPECT_FALSE(has_hash("index-12345678.html"));
}

}  // namespace
}  // namespace bight::service
