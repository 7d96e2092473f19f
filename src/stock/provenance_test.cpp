#include "stock/provenance.h"

#include <gtest/gtest.h>

#include <set>

namespace bight::stock {
namespace {

// Every grade has words of its own, so that two grades never read alike on a sheet.
TEST(Provenance, WordsAreDistinct) {
  std::set<std::string_view> seen;
  for (const Provenance p :
       {Provenance::kMeasuredHere, Provenance::kMillCertificate, Provenance::kPublishedTypical,
        Provenance::kPublishedMinimum, Provenance::kDerived, Provenance::kRuleOfThumb,
        Provenance::kUnconfirmed}) {
    EXPECT_TRUE(seen.insert(words(p)).second) << words(p);
  }
}

}  // namespace
}  // namespace bight::stock
