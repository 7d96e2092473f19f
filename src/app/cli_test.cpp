#include "app/cli.h"

#include <gtest/gtest.h>

#include <cstdio>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

namespace bight::app {
namespace {

struct Ended {
  int code = -1;
  std::string out;
  std::string err;
};

Ended bight(const std::vector<std::string>& args) {
  std::ostringstream out;
  std::ostringstream err;
  Terminal terminal{out, err};
  Ended ended;
  ended.code = run(args, terminal);
  ended.out = out.str();
  ended.err = err.str();
  return ended;
}

std::string demo(const std::string& part) {
  return std::string(BIGHT_SOURCE_DIR) + "/examples/fenwater/parts/" + part + ".toml";
}

std::string scratch(const std::string& name, const std::string& text) {
  const std::string path = ::testing::TempDir() + name;
  std::ofstream(path) << text;
  return path;
}

// Every demo part plans and prints JSON that parses. One has a straight too short for the clamp in
// every order; four more cannot be worked as drawn: a leg into the floor, two into the column, and
// a straight that is too short only in that order.
TEST(Cli, PlansTheDemoShop) {
  int num_parts = 0;
  for (const auto& entry : std::filesystem::directory_iterator(std::string(BIGHT_SOURCE_DIR) +
                                                               "/examples/fenwater/parts")) {
    const std::string name = entry.path().stem().string();
    const Ended ended = bight({"plan", entry.path().string(), "--json"});
    const bool never = name == "lamp-arm";
    EXPECT_EQ(ended.code, never ? kStopped : kDone) << name << ended.err;
    const bool not_drawn = never || name == "cleat-hook" || name == "gate-brace" ||
                           name == "davit-arm" || name == "trolley-handle";
    const Ended kept = bight({"plan", entry.path().string(), "--order", "keep"});
    EXPECT_EQ(kept.code, not_drawn ? kStopped : kDone) << name;
    EXPECT_EQ(ended.out.find("order.changed") != std::string::npos, not_drawn && !never) << name;
    const nlohmann::json json = nlohmann::json::parse(ended.out);
    EXPECT_FALSE(json["steps"].empty()) << name;
    EXPECT_GT(json["blank"]["cut_length_mm"].get<double>(), 100.0) << name;
    ++num_parts;
  }
  EXPECT_GE(num_parts, 11);
}

// Clearance in words, as JSON and as a film; a hit ends with the code of a stop.
TEST(Cli, ClearsTheDemoShop) {
  const Ended hits = bight({"clear", demo("gate-brace"), "--order", "keep"});
  EXPECT_EQ(hits.code, kStopped);
  EXPECT_NE(hits.out.find("HITS floor"), std::string::npos) << hits.out;
  for (const char* order : {"auto", "best", "2B,1B"}) {
    const Ended clears = bight({"clear", demo("gate-brace"), "--order", order});
    EXPECT_EQ(clears.code, kDone) << clears.out << clears.err;
    EXPECT_NE(clears.out.find("All 2 steps clear"), std::string::npos) << clears.out;
  }
  const nlohmann::json json =
      nlohmann::json::parse(bight({"clear", demo("davit-arm"), "--json", "--order", "keep"}).out);
  EXPECT_EQ(json["steps"][1]["nearest"]["body"], "column");
  const std::string glb = ::testing::TempDir() + "film.glb";
  EXPECT_EQ(bight({"clear", demo("rack-upright"), "--film", glb}).code, kDone);
  EXPECT_GT(std::filesystem::file_size(glb), 10'000u);
  const Ended odd = bight({"clear", demo("rack-upright"), "--film", "film.avi"});
  EXPECT_EQ(odd.code, kUnwritable);
  EXPECT_NE(odd.err.find("clear.film"), std::string::npos);
  EXPECT_EQ(bight({"clear", demo("rack-upright"), "--film", "/no/such/folder/f.glb"}).code,
            kUnwritable);
}

TEST(Cli, TextPlanShowsTheNumbers) {
  const Ended ended = bight({"plan", demo("rack-upright")});
  EXPECT_EQ(ended.code, kDone);
  for (const char* text : {"Rack upright", "38R114", "proven", "94.6°", "mark from A"}) {
    EXPECT_NE(ended.out.find(text), std::string::npos) << text << "\n" << ended.out;
  }
  EXPECT_EQ(ended.out.find('\033'), std::string::npos) << "colour in a pipe";
}

TEST(Cli, OptionsReachThePlan) {
  const auto json = [](const std::vector<std::string>& more) {
    std::vector<std::string> args = {"plan", demo("pulpit-rail"), "--json"};
    args.insert(args.end(), more.begin(), more.end());
    return nlohmann::json::parse(bight(args).out);
  };
  EXPECT_EQ(json({"--from", "B"})["from"], "B");
  EXPECT_EQ(json({"--from", "B"})["steps"][0]["bend"], 4);
  EXPECT_EQ(json({"--bender", "Heron"})["bender"], "Heron");
  EXPECT_EQ(json({"--mirror"})["part"]["hand"], "RH");
  EXPECT_EQ(json({"--die", "25R50"})["steps"][0]["die"], "25R50");
  const Ended inches = bight({"plan", demo("pulpit-rail"), "--units", "in/16"});
  EXPECT_NE(inches.out.find("/16\""), std::string::npos) << inches.out;
}

TEST(Cli, ShowPrintsTableAndCorners) {
  const Ended text = bight({"show", demo("pulpit-rail")});
  EXPECT_EQ(text.code, kDone);
  EXPECT_NE(text.out.find("developed length"), std::string::npos);
  const nlohmann::json forward =
      nlohmann::json::parse(bight({"show", demo("pulpit-rail"), "--json"}).out);
  const nlohmann::json back =
      nlohmann::json::parse(bight({"show", demo("pulpit-rail"), "--json", "--reverse"}).out);
  EXPECT_NEAR(forward["part"]["developed_length_mm"].get<double>(),
              back["part"]["developed_length_mm"].get<double>(), 1e-6);
  EXPECT_NEAR(forward["part"]["bend_table"][0]["angle_deg"].get<double>(),
              back["part"]["bend_table"][3]["angle_deg"].get<double>(), 1e-6);
}

// 1-1/2 pipe is 48.3 and 1-1/2 tube 38.1, and the answer says so (ASME B36.10M; trade).
TEST(CliReference, StockTellsPipeFromTube) {
  const nlohmann::json pipe =
      nlohmann::json::parse(bight({"stock", "1½ sch 40 pipe", "--json"}).out);
  EXPECT_DOUBLE_EQ(pipe["matches"][0]["od_mm"].get<double>(), 48.3);
  const Ended words = bight({"stock", "1½", "pipe"});
  EXPECT_NE(words.out.find("48.3"), std::string::npos);
  EXPECT_NE(words.out.find("38.1"), std::string::npos) << words.out;
  const nlohmann::json tube =
      nlohmann::json::parse(bight({"stock", "38.1", "x", "16", "BWG", "--json"}).out);
  EXPECT_NEAR(tube["matches"][0]["wall_mm"].get<double>(), 1.651, 1e-9);
  EXPECT_EQ(bight({"stock", "banana"}).code, kUnreadable);
  EXPECT_NE(bight({"stock", "22x1", "copper"}).out.find("Cu-DHP"), std::string::npos);
}

TEST(Cli, SheetWritesAPdf) {
  const std::string path = ::testing::TempDir() + "cli_sheet.pdf";
  EXPECT_EQ(bight({"sheet", demo("rack-upright"), "-o", path, "--date", "2026-01-31"}).code, kDone);
  std::ifstream stream(path, std::ios::binary);
  std::string head(5, '\0');
  stream.read(head.data(), 5);
  EXPECT_EQ(head, "%PDF-");
  std::remove(path.c_str());
  EXPECT_EQ(bight({"sheet", demo("rack-upright"), "-o", "/no/such/folder/x.pdf"}).code,
            kUnwritable);
  EXPECT_EQ(bight({"sheet", demo("lamp-arm"), "-o", path}).code, kStopped);
  std::remove(path.c_str());
}

TEST(Cli, CompletionNamesCommandsAndOptions) {
  for (const char* shell : {"bash", "zsh", "fish"}) {
    const Ended ended = bight({"completion", shell});
    EXPECT_EQ(ended.code, kDone);
    EXPECT_NE(ended.out.find("sheet"), std::string::npos) << shell;
    EXPECT_NE(ended.out.find("json"), std::string::npos) << shell;
  }
}

// Every command explains itself with examples.
TEST(Cli, HelpHasExamples) {
  EXPECT_EQ(bight({"--help"}).code, kDone);
  for (const char* command : {"plan", "show", "stock", "sheet", "roll", "completion"}) {
    const Ended ended = bight({command, "--help"});
    EXPECT_EQ(ended.code, kDone) << command;
    EXPECT_NE(ended.out.find("Examples:"), std::string::npos) << command;
  }
  EXPECT_NE(bight({"--version"}).out.find("bight"), std::string::npos);
}

// Wrong command lines end with 1, unreadable input with 3, each with a sentence on the error
// stream.
TEST(Cli, BadInputEndsWithASentence) {
  EXPECT_EQ(bight({}).code, kUsage);
  EXPECT_EQ(bight({"fly"}).code, kUsage);
  EXPECT_EQ(bight({"plan", demo("pulpit-rail"), "--from", "C"}).code, kUsage);
  const std::string good =
      "name=\"x\"\n[tube]\nod=25\nwall=1.5\nmaterial=\"316L annealed\"\n[line]\n";
  const struct {
    std::string path;
    const char* code;
  } cases[] = {
      {"no-such-file.toml", "file.missing"},
      {scratch("empty.toml", ""), "toml.empty"},
      {scratch("binary.toml", std::string("\x00\xff\xfe", 3)), "toml.syntax"},
      {scratch("radius.toml", good + "radius=\"wide\"\ncorners=[[0,0,0],[9,0,0],[9,9,0]]"),
       "length.text"},
      {scratch("nan.toml", good + "radius=75\ncorners=[[0,0,0],[nan,0,0],[9,9,0]]"),
       "length.range"},
      {scratch("one.toml", good + "radius=75\ncorners=[[0,0,0]]"), "corners.few"},
      {scratch("large.toml", std::string(10'000'000, '#')), "file.size"},
  };
  for (const auto& c : cases) {
    const Ended ended = bight({"plan", c.path});
    EXPECT_EQ(ended.code, kUnreadable) << c.path;
    EXPECT_NE(ended.err.find(c.code), std::string::npos) << ended.err;
    EXPECT_EQ(ended.err.substr(0, 7), "bight: ");
    EXPECT_TRUE(ended.out.empty());
  }
  EXPECT_EQ(bight({"plan", demo("pulpit-rail"), "--shop", "no/such/shop"}).code, kUnreadable);
  EXPECT_EQ(bight({"plan", demo("pulpit-rail"), "--die", "none"}).code, kUnreadable);
}

}  // namespace
}  // namespace bight::app
