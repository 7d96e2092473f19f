#include "exchange/run_document.h"

#include <gtest/gtest.h>

#include "exchange/toml_text.h"

namespace bight::exchange {
namespace {

using nlohmann::ordered_json;

const char* const kRun = R"(
schema = 1
name = "Pulpit rail, lot 1"
part = "Pulpit rail"
bender = "Long bench"
heat = "H4711"
pieces = 12

[[steps]]
bend = 1
die = "38 on 114"
angle = 90
set = 94.6
tolerance = 0.5

[[steps]]
bend = 2
die = "38 on 114"
angle = "67d30'"
set = 71.2

[[events]]
key = "t1-1"
at = "2026-11-28T22:01:07.250Z"
by = "KB"
do = "begin"
piece = 1

[[events]]
key = "t1-2"
at = "2026-11-28T22:01:40Z"
do = "hit"
piece = 1
step = 1
set = 94.6
read = 90.1

[[events]]
key = "t1-3"
at = "2026-11-28T22:02:00Z"
do = "done"
piece = 1
step = 1
)";

running::Run sample() {
  const auto document = parse_toml(kRun, "lot.toml");
  const auto run = read_run(*document);
  EXPECT_TRUE(run.ok()) << (run.ok() ? "" : run.failure().text());
  return *run;
}

TEST(RunDocument, IsReadAndSaysWhereItStands) {
  const running::Run run = sample();
  EXPECT_EQ(run.pieces_wanted, 12);
  EXPECT_DOUBLE_EQ(run.steps[1].wanted.deg(), 67.5);
  const ordered_json state = run_state_json(run, running::state_of(run));
  EXPECT_EQ(state["next"]["piece"], 1);
  EXPECT_EQ(state["next"]["step"], 2);
  EXPECT_EQ(state["next"]["set"], 71.2);
  EXPECT_EQ(state["by_piece"][0]["bends"][0]["finished"], 90.1);
  EXPECT_EQ(state["first_at"], "2026-11-28T22:01:07.250Z");
}

TEST(RunDocument, AnyDeedReadsBackAsItWas) {
  running::Run run = sample();
  const auto events = read_events(document_of(ordered_json::parse(R"([
    {"key":"a","at":"2026-11-28T22:03:00Z","by":"MT","do":"begin","piece":2,"heat":"H2"},
    {"key":"b","at":"2026-11-28T22:03:01Z","do":"hit","piece":2,"step":1,"set":94.7},
    {"key":"c","at":"2026-11-28T22:03:02Z","do":"measure","piece":2,"step":1,"angle":89.95},
    {"key":"d","at":"2026-11-28T22:03:03Z","do":"finish","piece":2,"verdict":"scrap","reason":"x"},
    {"key":"e","at":"2026-11-28T22:03:04Z","do":"set","step":1,"from_piece":3,"set":94.65},
    {"key":"f","at":"2026-11-28T22:03:05Z","do":"check","item":"guards","done":false},
    {"key":"g","at":"2026-11-28T22:03:06Z","do":"trouble","symptom":"wrinkle","question":"where",
     "answer":"trailing"},
    {"key":"h","at":"2026-11-28T22:03:07Z","do":"note","text":"second bundle from here"},
    {"key":"i","at":"2026-11-28T22:03:08Z","do":"take-back","of":"c"},
    {"key":"j","at":"2026-11-28T22:03:09Z","do":"end"}])"),
                                              "request"));
  ASSERT_TRUE(events.ok()) << events.failure().text();
  ASSERT_TRUE(running::take_events(run, *events).ok());
  const ordered_json json = run_document(run);
  const auto by_json = read_run(document_of(json, "run"));
  ASSERT_TRUE(by_json.ok()) << by_json.failure().text();
  EXPECT_EQ(by_json->events, run.events);
  EXPECT_EQ(by_json->steps, run.steps);
  const auto by_toml = read_run(*parse_toml(toml_text(json), "run.toml"));
  ASSERT_TRUE(by_toml.ok()) << by_toml.failure().text();
  EXPECT_EQ(by_toml->events, run.events);
  EXPECT_EQ(run_document(*by_toml), json);
}

TEST(RunDocument, TakesOneEventAListOrAnObjectWithEvents) {
  const ordered_json one = ordered_json::parse(
      R"({"key":"a","at":"2026-11-28T22:03:00Z","do":"done","piece":1,"step":1})");
  EXPECT_EQ(read_events(document_of(one, ""))->size(), 1u);
  EXPECT_EQ(read_events(document_of(ordered_json::array({one}), ""))->size(), 1u);
  EXPECT_EQ(read_events(document_of({{"events", ordered_json::array({one, one})}}, ""))->size(),
            2u);
}

TEST(RunDocument, SaysWhatIsWrongAndWhere) {
  const auto failure = [](const std::string& text) {
    const auto run = read_run(*parse_toml(text, "lot.toml"));
    return run.ok() ? base::Failure{"none", "", "", ""} : run.failure();
  };
  const std::string good = kRun;
  const auto changed = [&](const std::string& from, const std::string& to) {
    std::string text = good;
    text.replace(text.find(from), from.size(), to);
    return text;
  };
  EXPECT_EQ(failure(good).code, "none");
  EXPECT_EQ(failure(changed("schema = 1", "schema = 2")).code, "run.schema");
  EXPECT_EQ(failure(changed("do = \"hit\"", "do = \"smash\"")).code, "key.value");
  EXPECT_EQ(failure(changed("do = \"hit\"", "")).code, "key.missing");
  EXPECT_EQ(failure(changed("22:01:40Z", "22:01")).code, "run.time");
  EXPECT_EQ(failure(changed("22:01:40Z", "22:01")).where, "lot.toml:31: events[2].at");
  EXPECT_EQ(failure(changed("key = \"t1-2\"", "key = \"t1 2\"")).code, "run.key");
  EXPECT_EQ(failure(changed("read = 90.1", "reed = 90.1")).code, "key.unknown");
  EXPECT_EQ(failure(changed("pieces = 12", "pieces = 0")).code, "key.value");
  EXPECT_EQ(failure(changed("pieces = 12", "")).code, "key.missing");
  EXPECT_EQ(failure("schema = 1\npieces = 1\n").code, "run.steps");
  EXPECT_EQ(failure(changed("piece = 1\nstep = 1\nset", "piece = 1\nstep = 9\nset")).code,
            "run.step");
}

TEST(RunDocument, MergesAreReported) {
  running::Run run = sample();
  std::vector<running::Event> events = run.events;
  events[1].by = "MT";
  const auto merge = running::take_events(run, events);
  ASSERT_TRUE(merge.ok());
  const ordered_json json = merge_json(*merge);
  EXPECT_EQ(json["known"], 2);
  EXPECT_EQ(json["clashes"].size(), 1u);
}

}  // namespace
}  // namespace bight::exchange
