// Reads the tree and holds it to what we decided about it. Run by ./check like any test.

#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <map>
#include <regex>
#include <set>
#include <sstream>
#include <string>
#include <vector>

namespace {

namespace fs = std::filesystem;

const fs::path kRoot = BIGHT_SOURCE_DIR;

std::string read(const fs::path& path) {
  std::ifstream stream(path, std::ios::binary);
  std::stringstream text;
  text << stream.rdbuf();
  return text.str();
}

std::vector<std::string> lines(const std::string& text) {
  std::vector<std::string> out;
  std::stringstream stream(text);
  for (std::string line; std::getline(stream, line);) out.push_back(line);
  return out;
}

std::vector<fs::path> files(const fs::path& folder, const std::set<std::string>& extensions) {
  std::vector<fs::path> out;
  for (const fs::directory_entry& entry : fs::recursive_directory_iterator(folder)) {
    if (entry.is_regular_file() && extensions.contains(entry.path().extension().string())) {
      out.push_back(entry.path());
    }
  }
  std::sort(out.begin(), out.end());
  return out;
}

std::vector<fs::path> sources() { return files(kRoot / "src", {".h", ".cpp"}); }

std::string shown(const fs::path& path) { return fs::relative(path, kRoot).string(); }

// Rooms in the order of CMakeLists.txt.
std::vector<std::string> rooms() {
  std::vector<std::string> out;
  const std::regex room(R"(add_subdirectory\(src/(\w+)\))");
  for (const std::string& line : lines(read(kRoot / "CMakeLists.txt"))) {
    std::smatch match;
    if (std::regex_search(line, match, room)) out.push_back(match[1]);
  }
  return out;
}

// What a room says it needs, and what those need in turn.
std::map<std::string, std::set<std::string>> reachable_rooms() {
  std::map<std::string, std::set<std::string>> reach;
  const std::regex needs(R"(bight_room\((\w+)[^)]*?NEEDS([\w\s]*?)(LINKS|TEST_LINKS|\)))");
  for (const std::string& room : rooms()) {
    const std::string text = read(kRoot / "src" / room / "CMakeLists.txt");
    std::set<std::string>& mine = reach[room];
    mine.insert(room);
    std::smatch match;
    if (!std::regex_search(text, match, needs)) continue;
    std::stringstream words(match[2].str());
    for (std::string word; words >> word;) mine.insert(reach[word].begin(), reach[word].end());
  }
  return reach;
}

// A room includes only what its CMake target declares, and that lies above it.
TEST(Tidy, IncludesRunDownward) {
  const std::vector<std::string> order = rooms();
  ASSERT_GE(order.size(), 10u);
  const auto reach = reachable_rooms();
  const std::regex include(R"rx(^#include "(\w+)/)rx");
  for (const fs::path& path : sources()) {
    const std::string room = fs::relative(path, kRoot / "src").begin()->string();
    const auto at = std::find(order.begin(), order.end(), room);
    ASSERT_NE(at, order.end()) << shown(path) << " lies in no room";
    for (const std::string& line : lines(read(path))) {
      std::smatch match;
      if (!std::regex_search(line, match, include)) continue;
      EXPECT_TRUE(reach.at(room).contains(match[1]))
          << shown(path) << " includes " << match[1] << ", which " << room << " does not declare";
      EXPECT_LE(std::find(order.begin(), order.end(), match[1]), at)
          << shown(path) << " includes the lower room " << match[1];
    }
  }
}

// A test stands beside each source. main.cpp only calls what is tested, and commands are tested
// through the command line.
TEST(Tidy, EverySourceHasATest) {
  for (const fs::path& path : sources()) {
    const std::string stem = path.stem().string();
    if (path.extension() != ".cpp" || stem.ends_with("_test") || stem == "main" ||
        stem.starts_with("command_")) {
      continue;
    }
    bool found = false;
    for (const fs::directory_entry& beside : fs::directory_iterator(path.parent_path())) {
      const std::string other = beside.path().filename().string();
      found = found || (other.starts_with(stem) && other.ends_with("_test.cpp"));
    }
    EXPECT_TRUE(found) << shown(path) << " has no " << stem << "*_test.cpp beside it";
  }
}

// No file over 600 lines, no line over 100 characters.
TEST(Tidy, FilesStaySmall) {
  std::vector<fs::path> all = sources();
  for (const fs::path& path : files(kRoot / "fuzz", {".cpp"})) all.push_back(path);
  for (const fs::path& path : all) {
    const std::vector<std::string> text = lines(read(path));
    EXPECT_LE(text.size(), 600u) << shown(path);
    for (std::size_t i = 0; i < text.size(); ++i) {
      const auto width = std::count_if(text[i].begin(), text[i].end(), [](char c) {
        return (static_cast<unsigned char>(c) & 0xC0) != 0x80;
      });
      EXPECT_LE(width, 100) << shown(path) << ":" << i + 1;
    }
  }
}

// No function over 70 lines, counted from a line that opens a body at its left edge to the closing
// brace at the same edge.
TEST(Tidy, FunctionsStayShort) {
  const std::regex opens(R"(^[A-Za-z~].*\)( const)?( noexcept)?( override)? \{$)");
  const std::regex closes(R"(^  +.*\) \{$|^    .*\{$)");
  for (const fs::path& path : sources()) {
    if (path.extension() != ".cpp") continue;
    const std::vector<std::string> text = lines(read(path));
    for (std::size_t i = 0; i < text.size(); ++i) {
      const bool opening = std::regex_match(text[i], opens) ||
                           (i > 0 && !text[i].empty() && text[i][0] == ' ' &&
                            text[i].ends_with(") {") && text[i].find("  ") == 0 &&
                            std::isalpha(static_cast<unsigned char>(text[i - 1][0])) != 0 &&
                            text[i - 1].back() == ',');
      if (!opening) continue;
      std::size_t end = i;
      while (end < text.size() && text[end] != "}") ++end;
      EXPECT_LE(end - i, 70u) << shown(path) << ":" << i + 1;
    }
  }
}

// Quantities carry their unit: no double in a header ends in the bare name of a quantity, such as
// radius or torque. Pure numbers (a weight, a sine, a strain) need none.
TEST(Tidy, QuantitiesCarryUnits) {
  const std::regex member(R"(\bdouble (\w+)(;| = |,|\)))");
  const std::regex bare(
      R"(^(.*_)?(length|radius|diameter|width|height|wall|depth|angle|force|moment|torque|power|)"
      R"(speed|mass|time|stress|distance|offset|size|od|clr|gap|area|temperature|density)_?$)");
  for (const fs::path& path : sources()) {
    if (path.extension() != ".h" || path.stem().string().ends_with("_test_util")) continue;
    const std::vector<std::string> text = lines(read(path));
    for (std::size_t i = 0; i < text.size(); ++i) {
      std::string code = text[i].substr(0, text[i].find("//"));
      for (std::smatch match; std::regex_search(code, match, member); code = match.suffix()) {
        const std::string name = match[1];
        EXPECT_FALSE(std::regex_match(name, bare))
            << shown(path) << ":" << i + 1 << " double " << name << " has no unit";
      }
    }
  }
}

// Every finding and failure code that the source can give stands in docs/formats/codes.md, and
// every code listed there is given somewhere.
TEST(Tidy, CodesAreListed) {
  const std::string listed = read(kRoot / "docs/formats/codes.md");
  // Lower case, one dot, words with hyphens: the form of a code.
  const std::regex code(R"rx("([a-z][a-z0-9]*\.[a-z0-9]+(?:-[a-z0-9]+)*)")rx");
  const std::regex file_name(
      R"(.*\.(toml|csv|json|pdf|svg|png|cpp|h|md|txt|step|stp|html|yaml|zip|db))");
  std::set<std::string> given;
  for (const fs::path& path : sources()) {
    if (path.stem().string().ends_with("_test")) continue;
    const std::string text = read(path);
    for (std::sregex_iterator it(text.begin(), text.end(), code), end; it != end; ++it) {
      const std::string found = (*it)[1];
      if (!std::regex_match(found, file_name)) given.insert(found);
    }
  }
  for (const std::string& found : given) {
    EXPECT_NE(listed.find("`" + found + "`"), std::string::npos) << found << " is not listed";
  }
  const std::regex entry(R"(^\| `([a-z0-9.-]+)` \|)");
  // Some are put together from an area and ".what" where one reader serves several areas.
  std::string all;
  for (const fs::path& path : sources()) all += read(path);
  for (const std::string& line : lines(listed)) {
    std::smatch match;
    if (!std::regex_search(line, match, entry)) continue;
    const std::string found = match[1];
    const std::string what = found.substr(found.find('.') + 1) + "\"";
    EXPECT_TRUE(given.contains(found) || all.find("\"." + what) != std::string::npos ||
                all.find("fail(\"" + what) != std::string::npos)
        << found << " is listed but never given";
  }
}

// Words that have no place in the tree: leftovers, and ways round a failing test.
TEST(Tidy, NoLeftovers) {
  const std::regex banned(R"(\b(TODO|FIXME|XXX|HACK)\b|GTEST_SKIP|DISABLED_)");
  for (const fs::path& path : sources()) {
    const std::vector<std::string> text = lines(read(path));
    for (std::size_t i = 0; i < text.size(); ++i) {
      // Tests on a database server need one; ./check starts it and skips nothing.
      if (path.filename() == "store_test_util.h" && text[i].find("GTEST_SKIP") != text[i].npos) {
        continue;
      }
      EXPECT_FALSE(std::regex_search(text[i], banned)) << shown(path) << ":" << i + 1;
    }
  }
}

// Links between our documents lead somewhere.
TEST(Tidy, DocumentLinksLead) {
  std::vector<fs::path> documents = files(kRoot / "docs", {".md"});
  for (const char* name : {"README.md", "ARCHITECTURE.md", "CONTRIBUTING.md"}) {
    documents.push_back(kRoot / name);
  }
  const std::regex link(R"(\]\(([^)#:]+)(#[^)]*)?\))");
  for (const fs::path& path : documents) {
    const std::string text = read(path);
    for (std::sregex_iterator it(text.begin(), text.end(), link), end; it != end; ++it) {
      EXPECT_TRUE(fs::exists(path.parent_path() / (*it)[1].str()))
          << shown(path) << " links to " << (*it)[1];
    }
  }
}

}  // namespace
