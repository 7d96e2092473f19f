#include "exchange/toml_text.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <limits>

#include "exchange/document.h"
#include "exchange/utf8.h"

namespace bight::exchange {
namespace {

using nlohmann::ordered_json;

std::string any_text() {
  std::string out;
  const auto characters = *rc::gen::container<std::vector<int>>(rc::gen::oneOf(
      rc::gen::inRange(0, 0x80), rc::gen::inRange(0, 0xD800), rc::gen::inRange(0xE000, 0x110000)));
  for (const int c : characters) append_utf8(out, static_cast<char32_t>(c));
  return out;
}

ordered_json any_value(int depth);

ordered_json any_object(int depth) {
  ordered_json out = ordered_json::object();
  const int num = *rc::gen::inRange(0, 5);
  for (int i = 0; i < num; ++i) {
    const std::string key = *rc::gen::arbitrary<bool>()
                                ? any_text()
                                : *rc::gen::element<std::string>("a", "b-c", "1", "");
    out[key] = any_value(depth - 1);
  }
  return out;
}

ordered_json any_list(int depth) {
  ordered_json out = ordered_json::array();
  const int num = *rc::gen::inRange(0, 4);
  const bool tables = *rc::gen::arbitrary<bool>();
  for (int i = 0; i < num; ++i) {
    out.push_back(tables ? any_object(depth - 1) : any_value(depth - 1));
  }
  return out;
}

ordered_json any_value(int depth) {
  switch (*rc::gen::inRange(0, depth > 0 ? 8 : 5)) {
    case 0:
      return any_text();
    case 1:
      return *rc::gen::arbitrary<std::int64_t>();
    case 2:
      return *rc::gen::arbitrary<bool>();
    case 3:
      return *rc::gen::arbitrary<double>();
    case 4:
      return *rc::gen::inRange(-1000000, 1000000) / 1e3;
    case 5:
      return any_list(depth);
    default:
      return any_object(depth);
  }
}

// Any document at all, of odd keys, nested lists and tables in any order, is read back the same.
RC_GTEST_PROP(TomlTextProperty, ReadsBackTheSame, ()) {
  ordered_json document = any_object(5);
  if (document.empty()) document["a"] = 1;
  const std::string text = toml_text(document);
  const auto back = parse_toml(text, "written.toml");
  if (!back.ok()) RC_FAIL(back.failure().text() + "\n" + text);
  RC_ASSERT(back->value == document);
}

// The layout: plain keys, a section for each table at the end, rows one a line; a table before a
// plain key stands on its line, for a key after its section would belong to it.
TEST(TomlText, Layout) {
  const auto document = ordered_json::parse(
      R"({"early":{"a":1},"name":"x \"y\"","tube":{"od":25,"certificate":{"n":0.2}},)"
      R"("line":{"bends":[{"straight":100,"angle":90},{"straight":50.5,"angle":45}],"last":10},)"
      R"("die":[{"name":"A"},{"name":"B"}]})");
  EXPECT_EQ(toml_text(document), R"(early = { a = 1 }
name = "x \"y\""

[tube]
od = 25
[tube.certificate]
n = 0.2

[line]
bends = [
  { straight = 100, angle = 90 },
  { straight = 50.5, angle = 45 },
]
last = 10

[[die]]
name = "A"

[[die]]
name = "B"
)");
}

// Numbers at the ends of their range, and what TOML has no word for.
TEST(TomlText, Extremes) {
  const auto back = [](const ordered_json& document) {
    return parse_toml(toml_text(document), "p").value().value;
  };
  ordered_json document;
  document["a"] = std::numeric_limits<std::int64_t>::min();
  document["b"] = std::numeric_limits<std::uint64_t>::max();
  document["c"] = std::numeric_limits<double>::denorm_min();
  document["d"] = -std::numeric_limits<double>::max();
  document["e"] = -std::numeric_limits<double>::infinity();
  document["f"] = 1e15;
  EXPECT_EQ(back(document), document);
  EXPECT_TRUE(std::isnan(back({{"a", std::nan("")}})["a"].get<double>()));
  EXPECT_EQ(back(ordered_json::parse(R"({"a":null,"b":[null,1],"c":{"d":null}})")),
            ordered_json::parse(R"({"b":[1],"c":{}})"));
}

}  // namespace
}  // namespace bight::exchange
