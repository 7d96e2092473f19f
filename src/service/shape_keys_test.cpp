#include "service/shape_keys.h"

#include <set>

#include "exchange/complaints.h"
#include "exchange/part_line.h"
#include "exchange/part_shape.h"
#include "service/service_test_util.h"

namespace bight::service {
namespace {

using test::Json;

std::vector<base::Failure> complaints(const Json& line) {
  const exchange::Document document = exchange::document_of(line, "");
  exchange::Complaints all;
  const auto read = exchange::read_line(exchange::Fields(document), 25.0);
  if (!read.ok()) all.add(read.failure());
  return all.all();
}

TEST(ShapeKeys, EveryShapeHasAForm) {
  std::vector<std::string_view> names;
  for (const ShapeForm& form : shape_forms()) names.push_back(form.name);
  EXPECT_EQ(names, exchange::shape_words());
}

// A form's keys are those the reader takes: none is unknown to it, and what it misses without any
// keys is what the form calls required.
TEST(ShapeKeys, FormsAndReadersAgree) {
  for (const ShapeForm& form : shape_forms()) {
    Json line = {{"shape", form.name}};
    std::set<std::string> missing;
    for (const base::Failure& failure : complaints(line)) {
      if (failure.code == "key.missing") missing.insert(failure.where);
    }
    std::set<std::string> required;
    for (const ShapeKey& key : form.keys) {
      if (key.required) required.insert(std::string(key.key));
      line[std::string(key.key)] = key.kind == "flag"     ? Json(true)
                                   : key.kind == "choice" ? Json(key.choices.front())
                                                          : Json(1);
    }
    EXPECT_EQ(missing, required) << form.name;
    for (const base::Failure& failure : complaints(line)) {
      EXPECT_NE(failure.code, "key.unknown") << form.name << " " << failure.where;
      EXPECT_NE(failure.code, "key.type") << form.name << " " << failure.where;
    }
  }
}

}  // namespace
}  // namespace bight::service
