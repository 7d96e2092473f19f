#include "rules/rule_book.h"

#include <gtest/gtest.h>

#include <set>

namespace bight::rules {
namespace {

TEST(RuleBook, BuiltInRulesAreComplete) {
  // Proves that every rule says who, where and how it is known, and that ids are unique.
  const auto book = RuleBook::built_in();
  ASSERT_TRUE(book.ok()) << book.failure().text();
  EXPECT_GE(book->all().size(), 50u);
  std::set<std::string> ids;
  for (const Rule& rule : book->all()) {
    EXPECT_TRUE(ids.insert(rule.id).second) << rule.id;
    EXPECT_FALSE(rule.code.empty() || rule.edition.empty() || rule.clause.empty() ||
                 rule.title.empty() || rule.source.empty() || rule.unit.empty())
        << rule.id;
    EXPECT_EQ(book->find(rule.id), &rule);
  }
  EXPECT_EQ(book->find("no such rule"), nullptr);
}

TEST(RuleBook, RefusesBadTables) {
  // Proves each complaint about a table.
  const std::string header =
      "id,form,code,edition,clause,title,variant,from,to,limit,unit,source,mark\n";
  const auto code = [&](const std::string& rows) {
    const auto table = base::CsvTable::parse(header + rows, "rules.csv");
    EXPECT_TRUE(table.ok());
    return RuleBook::read(*table).failure().code;
  };
  EXPECT_EQ(code("a,handstand,C,E,1,T,,,,1,mm,S,VERIFIED\n"), "table.value");
  EXPECT_EQ(code("a,wall_factor,C,E,1,T,,,,1,mm,S,SURE\n"), "table.mark");
  EXPECT_EQ(code("a,wall_factor,C,E,1,T,,,,,mm,S,VERIFIED\n"), "table.value");
  EXPECT_EQ(code("a,wall_before,C,E,1,T,,,,1.2,mm,S,VERIFIED\n"), "table.value");
  EXPECT_EQ(code("a,wall_before,C,E,1,T,,4,,1.2,mm,S,VERIFIED\n"
                 "a,wall_before,C,E,1,T,,3,,1.3,mm,S,VERIFIED\n"),
            "table.value");
  EXPECT_EQ(code("a,wall_factor,C,E,1,T,,,,1,mm,S,VERIFIED\n"
                 "b,wall_factor,C,E,1,T,,,,1,mm,S,VERIFIED\n"
                 "a,wall_factor,C,E,1,T,,,,1,mm,S,VERIFIED\n"),
            "table.value");
  EXPECT_EQ(code("a,wall_factor,C,E,1,T,,,,1,mm,S,VERIFIED\n"
                 "a,total_bend,C,E,1,T,,,,1,mm,S,VERIFIED\n"),
            "table.value");
}

}  // namespace
}  // namespace bight::rules
