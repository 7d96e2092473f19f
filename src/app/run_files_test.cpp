#include "app/run_files.h"

#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "app/cli.h"

namespace bight::app {
namespace {

struct Ended {
  int code = -1;
  std::string out, err;
};

Ended bight(const std::vector<std::string>& args) {
  std::ostringstream out, err;
  Terminal terminal{out, err};
  const int code = run(args, terminal);
  return {code, out.str(), err.str()};
}

std::string demo(const std::string& part) {
  return std::string(BIGHT_SOURCE_DIR) + "/examples/fenwater/parts/" + part + ".toml";
}

std::string scratch(const std::string& name) { return ::testing::TempDir() + "bight_run_" + name; }

std::string written(const std::string& name, const std::string& text) {
  const std::string path = scratch(name);
  std::ofstream(path) << text;
  return path;
}

nlohmann::json status(const std::string& file) {
  return nlohmann::json::parse(bight({"run", "status", file, "--json"}).out);
}

TEST(RunFiles, TomlAndJsonHoldTheSameRun) {
  for (const char* name : {"lot.toml", "lot.json"}) {
    const std::string file = scratch(name);
    const Ended started =
        bight({"run", "start", demo("pulpit-rail"), "-o", file, "--pieces", "3", "--heat", "H1"});
    ASSERT_EQ(started.code, kDone) << started.err;
    const auto run = load_run(file);
    ASSERT_TRUE(run.ok()) << run.failure().text();
    EXPECT_EQ(run->pieces_wanted, 3);
    EXPECT_EQ(run->heat, "H1");
    ASSERT_TRUE(save_run(*run, file).ok());
    EXPECT_EQ(load_run(file)->steps, run->steps);
    EXPECT_FALSE(std::filesystem::exists(file + ".new"));
  }
}

// Press by press as at the bench; a repeated event and a second queue change nothing they should
// not; the file alone says where the work stands.
TEST(RunFiles, ARunGoesOnWhereItStopped) {
  const std::string file = scratch("bench.toml");
  ASSERT_EQ(bight({"run", "start", demo("pulpit-rail"), "-o", file, "--pieces", "2"}).code, kDone);
  const std::vector<std::string> hit = {"run",
                                        "event",
                                        file,
                                        "--do",
                                        "hit",
                                        "--piece",
                                        "1",
                                        "--step",
                                        "1",
                                        "--set",
                                        "94.6",
                                        "--read",
                                        "90.1",
                                        "--key",
                                        "t-1",
                                        "--at",
                                        "2026-11-28T22:01:07Z"};
  ASSERT_EQ(bight(hit).code, kDone);
  ASSERT_EQ(bight(hit).code, kDone);
  EXPECT_EQ(status(file)["events"], 1);
  const std::string queue = written("queue.json", R"([
    {"key":"t-2","at":"2026-11-28T22:02:00Z","do":"done","piece":1,"step":1},
    {"key":"t-1","at":"2026-11-28T22:01:07Z","do":"hit","piece":1,"step":1,"set":94.6,
     "read":90.1}])");
  const Ended merged = bight({"run", "event", file, "--events", queue});
  ASSERT_EQ(merged.code, kDone) << merged.err;
  EXPECT_NE(merged.out.find("next: piece 1"), std::string::npos) << merged.out;
  const nlohmann::json state = status(file);
  EXPECT_EQ(state["events"], 2);
  EXPECT_EQ(state["next"]["step"], 2);
  const Ended ended = bight({"run", "finish", file});
  EXPECT_EQ(ended.code, kDone);
  EXPECT_TRUE(status(file)["ended"]);
}

TEST(RunFiles, ChartAndCapabilityComeFromTheReadings) {
  const std::string file = scratch("chart.toml");
  ASSERT_EQ(bight({"run", "start", demo("pulpit-rail"), "-o", file, "--pieces", "9"}).code, kDone);
  nlohmann::json events = nlohmann::json::array();
  const double wanted = (*load_run(file)).steps[0].wanted.deg();
  for (int piece = 1; piece <= 6; ++piece) {
    events.push_back({{"key", "m" + std::to_string(piece)},
                      {"at", "2026-11-28T22:0" + std::to_string(piece) + ":00Z"},
                      {"do", "measure"},
                      {"piece", piece},
                      {"step", 1},
                      {"angle", wanted + (piece % 2 == 0 ? 0.1 : -0.1)}});
  }
  const std::string queue = written("readings.json", events.dump());
  ASSERT_EQ(bight({"run", "event", file, "--events", queue}).code, kDone);
  const Ended chart = bight({"run", "chart", file, "--tolerance", "1"});
  ASSERT_EQ(chart.code, kDone) << chart.err;
  EXPECT_EQ(nlohmann::json::parse(chart.out)["readings"].size(), 6u);
  for (const char* name : {"chart.pdf", "chart.svg"}) {
    EXPECT_EQ(bight({"run", "chart", file, "-o", scratch(name)}).code, kDone);
    EXPECT_GT(std::filesystem::file_size(scratch(name)), 1000u);
  }
  EXPECT_EQ(bight({"run", "chart", file, "-o", scratch("chart.bmp")}).code, kUnwritable);
  const Ended index = bight({"run", "capability", file, "--tolerance", "1", "--json"});
  ASSERT_EQ(index.code, kDone) << index.err;
  EXPECT_GT(nlohmann::json::parse(index.out)["ppk"]["value"], 1.0);
  EXPECT_NE(bight({"run", "capability", file, "--tolerance", "1"}).out.find("Ppk"),
            std::string::npos);
}

TEST(RunFiles, GaugeReadingsOfTwoPeople) {
  const std::string file =
      written("gauge.csv",
              "person,piece,angle\nKB,1,90.0\nKB,1,90.2\nMT,1,90.3\nMT,1,90.5\nKB,2,45.0\n"
              "KB,2,45.2\nMT,2,45.3\nMT,2,45.5\n");
  const Ended study = bight({"run", "gauge", file, "--tolerance", "1"});
  ASSERT_EQ(study.code, kDone) << study.err;
  EXPECT_NE(study.out.find("MT reads +0.150 degrees"), std::string::npos) << study.out;
  EXPECT_NE(bight({"run", "gauge", written("g2.csv", "person,piece\nKB,1\n")}).err.find("csv"),
            std::string::npos);
}

TEST(RunFiles, SaysWhatIsWrong) {
  EXPECT_EQ(load_run(scratch("none.toml")).failure().code, "file.missing");
  EXPECT_EQ(load_run(written("bad.json", "{\"schema\":")).failure().code, "run.json");
  EXPECT_EQ(load_run(written("bad.toml", "[[steps]]\nbend = 1\nangle = 90\n")).failure().code,
            "key.missing");
  const std::string file = written("good.toml", "pieces = 1\n[[steps]]\nbend = 1\nangle = 90\n");
  const Ended wrong =
      bight({"run", "event", file, "--do", "hit", "--piece", "1", "--step", "2", "--set", "90"});
  EXPECT_EQ(wrong.code, kUnreadable);
  EXPECT_NE(wrong.err.find("[run.step]"), std::string::npos) << wrong.err;
  EXPECT_EQ(check_typed({"fine", "br\xff"}).failure().code, "run.text");
  EXPECT_NE(bight({"run", "event", file, "--do", "note", "--text", "\xc3("}).err.find("[run.text]"),
            std::string::npos);
  EXPECT_EQ(save_run(*load_run(file), "/nowhere/lot.toml").failure().code, "run.write");
  EXPECT_EQ(save_bytes("x", "/nowhere/x.pdf").failure().code, "papers.write");
  EXPECT_NE(bight({"run", "capability", file}).err.find("[chart.few]"), std::string::npos);
  EXPECT_NE(bight({"run", "chart", file, "--step", "4"}).err.find("[run.step]"), std::string::npos);
}

TEST(RunFiles, KeypadPrintsTypesAndTicks) {
  const Ended text = bight({"keypad", demo("pulpit-rail")});
  EXPECT_EQ(text.code, kDone) << text.err;
  EXPECT_NE(text.out.find("springback"), std::string::npos);
  EXPECT_NE(text.out.find("total"), std::string::npos);
  const std::string keypads =
      written("keypads.toml", "[[keypad]]\nasks = [\"set\", \"rotate\", \"feed\"]\n");
  const Ended json = bight(
      {"keypad", demo("pulpit-rail"), "--keypads", keypads, "--json", "-o", scratch("card.pdf")});
  ASSERT_EQ(json.code, kDone) << json.err;
  const nlohmann::json card = nlohmann::json::parse(json.out);
  EXPECT_EQ(card["columns"][0]["asks"], "set");
  EXPECT_GT(card["checklist"]["items"].size(), 10u);
  EXPECT_GT(std::filesystem::file_size(scratch("card.pdf")), 5000u);
  EXPECT_EQ(bight({"keypad", demo("pulpit-rail"), "-o", scratch("card.svg")}).code, kUnwritable);
}

TEST(RunFiles, TroubleGoesStepByStep) {
  EXPECT_NE(bight({"trouble"}).out.find("wrinkle"), std::string::npos);
  EXPECT_EQ(nlohmann::json::parse(bight({"trouble", "--json"}).out).size(), 8u);
  const Ended first = bight({"trouble", "hump"});
  EXPECT_NE(first.out.find("where=trailing"), std::string::npos) << first.out;
  const Ended next = bight({"trouble", "wrinkle", "--part", demo("pulpit-rail"), "--wiper", "yes",
                            "--answers", "where=trailing", "wiper-fit=same"});
  EXPECT_EQ(next.code, kDone) << next.err;
  EXPECT_NE(next.out.find("Take the last change back"), std::string::npos) << next.out;
  EXPECT_NE(bight({"trouble", "squeak"}).err.find("[trouble.symptom]"), std::string::npos);
  EXPECT_NE(bight({"trouble", "hump", "--answers", "where"}).err.find("[trouble.answer]"),
            std::string::npos);
}

}  // namespace
}  // namespace bight::app
