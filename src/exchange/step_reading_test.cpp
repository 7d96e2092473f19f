#include "exchange/step_reading.h"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

namespace bight::exchange {
namespace {

using base::Angle;
using nlohmann::json;

StepReading sample() {
  const auto table =
      geometry::BendTable::make({{100.1, Angle(), Angle::degrees(90), 60.3},
                                 {0.0, Angle::degrees(-30), Angle::degrees(200), 70}},
                                55.5);
  StepReading reading{.section = *stock::Section::rect_tube(40, 25, 2, 5), .table = *table};
  reading.start.origin_mm = {1.0 / 3.0, -2e-17, 5e6};
  reading.end_b = {EndCut::kMitre, Angle::degrees(30), 7.2, -7.2, 0.0};
  reading.deviation_max_mm = 1e-7;
  reading.deviation_rms_mm = 1e-8;
  reading.num_sampled = 1234;
  reading.skin_only = true;
  reading.name = "Träger \"7\"";
  reading.unit = "INCH";
  reading.schema = "AUTOMOTIVE_DESIGN";
  reading.findings.push_back({part::Severity::kCaution,
                              "step.loose-joint",
                              2,
                              "message",
                              "remedy",
                              "source",
                              {{"gap_mm", 0.02}}});
  reading.findings.push_back({});
  return reading;
}

// Every field comes back exactly.
TEST(StepJson, RoundTripIsExact) {
  const StepReading reading = sample();
  const auto back = step_from_json(to_json(reading));
  ASSERT_TRUE(back.ok()) << back.failure().text();
  EXPECT_TRUE(back->section == reading.section);
  EXPECT_TRUE(back->table == reading.table);
  EXPECT_EQ(back->start.origin_mm, reading.start.origin_mm);
  EXPECT_EQ(back->end_a.cut, EndCut::kSquare);
  EXPECT_EQ(back->end_b.cut, EndCut::kMitre);
  EXPECT_EQ(back->end_b.mitre.rad(), reading.end_b.mitre.rad());
  EXPECT_EQ(back->num_sampled, 1234U);
  EXPECT_TRUE(back->skin_only);
  EXPECT_EQ(back->name, reading.name);
  ASSERT_EQ(back->findings.size(), 2U);
  EXPECT_EQ(back->findings[0].bend, std::optional<std::size_t>(2));
  EXPECT_EQ(back->findings[0].numbers.at("gap_mm"), 0.02);
  EXPECT_FALSE(back->findings[1].bend.has_value());
  for (const stock::Section& section :
       {*stock::Section::round_tube(25, 2), *stock::Section::round_bar(12),
        *stock::Section::rect_bar(30, 10)}) {
    StepReading other = sample();
    other.section = section;
    EXPECT_TRUE(step_from_json(to_json(other))->section == section);
  }
}

// A failure of the reader arrives as that failure.
TEST(StepJson, FailureComesThrough) {
  const auto back = step_from_json(to_json(base::Failure{"step.empty", "", "nothing", "save"}));
  ASSERT_FALSE(back.ok());
  EXPECT_EQ(back.failure().code, "step.empty");
  EXPECT_EQ(back.failure().message, "nothing");
}

// Taking away, adding or mistyping any one field is refused.
TEST(StepJson, AnyFieldAmissIsRefused) {
  const json good = json::parse(to_json(sample()));
  const auto refused = [](const json& document) {
    const auto result = step_from_json(document.dump());
    return !result.ok() && result.failure().code == "step.answer";
  };
  const json flat = good.flatten();
  int tried = 0;
  for (const auto& item : flat.items()) {
    json gone = good;
    const json::json_pointer pointer(item.key());
    gone[pointer.parent_pointer()].is_object()
        ? static_cast<void>(gone[pointer.parent_pointer()].erase(pointer.back()))
        : gone[pointer.parent_pointer()].clear();
    // Numbers of a finding are free to be there or not.
    if (item.key().find("numbers") != std::string::npos) continue;
    EXPECT_TRUE(refused(gone)) << item.key();
    json mistyped = good;
    mistyped[pointer] = json::array({"wrong"});
    EXPECT_TRUE(refused(mistyped)) << item.key();
    ++tried;
  }
  EXPECT_GT(tried, 40);
  json more = good;
  more["reading"]["extra"] = 1;
  EXPECT_TRUE(refused(more));
  more = good;
  more["failure"] = 1;
  EXPECT_TRUE(refused(more));
}

// Values that no reader can mean: a frame that is none, sizes that make no section, foreign codes.
TEST(StepJson, ImpossibleValuesAreRefused) {
  const json good = json::parse(to_json(sample()));
  const auto code = [](const json& document) {
    const auto result = step_from_json(document.dump());
    return result.ok() ? std::string() : result.failure().code;
  };
  json bad = good;
  bad["reading"]["start"]["ahead"] = {2.0, 0.0, 0.0};
  EXPECT_EQ(code(bad), "step.answer");
  bad = good;
  bad["reading"]["section"]["wall_mm"] = 30.0;
  EXPECT_EQ(code(bad), "step.answer");
  bad = good;
  bad["reading"]["table"]["rows"][0]["angle_rad"] = 7.0;
  EXPECT_EQ(code(bad), "step.answer");
  bad = good;
  bad["reading"]["end_a"]["cut"] = "torn";
  EXPECT_EQ(code(bad), "step.answer");
  EXPECT_EQ(code({{"failure",
                   {{"code", "sandbox.time"}, {"where", ""}, {"message", ""}, {"remedy", ""}}}}),
            "step.answer");
}

// What is no JSON, or not the agreed document.
TEST(StepJson, OtherTextIsRefused) {
  for (const char* text : {"", "{", "[]", "null", "{}", "{\"reading\":1}", "{\"reading\":{}}",
                           "{\"failure\":[]}", "{\"reading\":{}} x"}) {
    const auto result = step_from_json(text);
    ASSERT_FALSE(result.ok()) << text;
    EXPECT_EQ(result.failure().code, "step.answer") << text;
  }
}

}  // namespace
}  // namespace bight::exchange
