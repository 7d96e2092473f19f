#include "planning/metal_memory.h"

#include <gtest/gtest.h>

namespace bight::planning {
namespace {

class Memory : public testing::Test {
 protected:
  MetalQuestion question(double wall_mm, double radius_mm) {
    return {*stock::Section::round_tube(38.1, wall_mm), {}, radius_mm, false, 38.1};
  }
  // What comes back for it, and counts when it had to be worked out.
  double answer(const MetalQuestion& question) {
    return memory_
        .answer(question,
                [&] {
                  ++worked_out_;
                  mechanics::BendBand band;
                  band.springback_ratio.likely = question.die_radius_mm;
                  return MetalSlowAnswers{band, std::nullopt};
                })
        .band->springback_ratio.likely;
  }

  MetalMemory memory_{2};
  int worked_out_ = 0;
};

TEST_F(Memory, TheSameQuestionIsWorkedOutOnce) {
  EXPECT_EQ(answer(question(1.5, 114.0)), 114.0);
  EXPECT_EQ(answer(question(1.5, 114.0)), 114.0);
  EXPECT_EQ(worked_out_, 1);
}

TEST_F(Memory, AnotherSectionMetalDieOrMandrelIsAnotherQuestion) {
  const MetalQuestion first = question(1.5, 114.0);
  answer(first);
  MetalQuestion other = first;
  other.mandrel = true;
  answer(other);
  other = first;
  other.groove_height_mm = 38.4;
  answer(other);
  other = first;
  other.material.poisson_ratio += 0.01;
  answer(other);
  EXPECT_EQ(answer(question(1.5, 115.0)), 115.0);
  answer(question(1.6, 115.0));
  EXPECT_EQ(worked_out_, 6);
}

TEST_F(Memory, ForgetsWhatWasAskedForLongestAgo) {
  answer(question(1.5, 1.0));
  answer(question(1.5, 2.0));
  answer(question(1.5, 1.0));
  answer(question(1.5, 3.0));  // 2 goes
  EXPECT_EQ(worked_out_, 3);
  EXPECT_EQ(answer(question(1.5, 1.0)), 1.0);
  EXPECT_EQ(worked_out_, 3);
  EXPECT_EQ(answer(question(1.5, 2.0)), 2.0);
  EXPECT_EQ(worked_out_, 4);
}

}  // namespace
}  // namespace bight::planning
