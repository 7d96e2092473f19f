#include "service/jobs.h"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

namespace bight::service {
namespace {

using std::chrono::milliseconds;
using Plain = nlohmann::json;

std::string id_of(const Reply& reply) { return Plain::parse(reply.body).at("job"); }

// Looks until the job says this; a test of waiting would wait for ever.
Plain until(Jobs& jobs, const std::string& id, const std::string& state) {
  Plain seen;
  do {
    seen = Plain::parse(jobs.look(id).body);
    std::this_thread::yield();
  } while (seen.at("state") != state);
  return seen;
}

TEST(Jobs, ShortWorkAnswersAtOnce) {
  Jobs jobs;
  const Reply reply = jobs.run(
      [](JobWatch&) {
        return json_reply({{"x", 1}}, 200);
      },
      milliseconds(60'000));
  EXPECT_EQ(reply.status, 200);
  EXPECT_EQ(reply.body, R"({"x":1})");
}

TEST(Jobs, LongWorkIsLookedAtAndKept) {
  Jobs jobs;
  std::atomic<bool> go{false};
  const Reply reply = jobs.run(
      [&](JobWatch& watch) {
        watch.tell("half way", 0.5);
        while (!go) std::this_thread::yield();
        return json_reply({{"x", 1}}, 200);
      },
      milliseconds(0));
  ASSERT_EQ(reply.status, 202);
  const std::string id = id_of(reply);
  Plain seen;
  do {
    seen = Plain::parse(jobs.look(id).body);
  } while (seen.at("stage") != "half way");
  EXPECT_EQ(seen.at("state"), "running");
  EXPECT_EQ(seen.at("progress"), 0.5);
  go = true;
  EXPECT_EQ(until(jobs, id, "done").at("result").at("x"), 1);
  EXPECT_EQ(jobs.look("nosuch").status, 404);
}

TEST(Jobs, WorkThatFailsSaysWhy) {
  Jobs jobs;
  const Reply reply = jobs.run(
      [](JobWatch& watch) {
        while (!watch.cancelled()) std::this_thread::yield();
        return failed({"sandbox.stopped", "", "", ""});
      },
      milliseconds(0));
  const std::string id = id_of(reply);
  EXPECT_EQ(jobs.cancel(id).status, 204);
  until(jobs, id, "cancelled");
  EXPECT_EQ(jobs.cancel("nosuch").status, 404);
}

TEST(Jobs, OnlySoManyAtATime) {
  Jobs jobs;
  const auto wait = [](JobWatch& watch) {
    while (!watch.cancelled()) std::this_thread::yield();
    return json_reply(nlohmann::ordered_json::object(), 200);
  };
  for (std::size_t i = 0; i < kMostJobs; ++i) {
    EXPECT_EQ(jobs.run(wait, milliseconds(0)).status, 202);
  }
  EXPECT_EQ(jobs.run(wait, milliseconds(0)).status, 503);
  jobs.end_all();
}

// The end of all and whoever waits for the answer see the job end at the same moment; its thread
// must be waited for by one of them alone.
TEST(Jobs, TheEndWhileSomeoneWaitsForTheAnswer) {
  for (int i = 0; i < 500; ++i) {
    Jobs jobs;
    std::atomic<bool> begun{false};
    std::thread asking([&] {
      const Reply reply = jobs.run(
          [&](JobWatch& watch) {
            begun = true;
            while (!watch.cancelled()) std::this_thread::yield();
            return json_reply({{"x", 1}}, 200);
          },
          milliseconds(60'000));
      EXPECT_EQ(reply.status, 200);
    });
    while (!begun) std::this_thread::yield();
    jobs.end_all();
    asking.join();
  }
}

}  // namespace
}  // namespace bight::service
