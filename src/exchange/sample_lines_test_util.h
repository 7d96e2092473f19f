// Generated bend tables for the property tests of this room. Only the tests include it.
#pragma once

#include <rapidcheck.h>

#include "geometry/bend_table.h"

namespace bight::exchange::sample {

// Up to six bends of 5° to 175°, straights of 20 to 400 mm, as typed: to a hundredth.
inline rc::Gen<geometry::BendTable> any_table() {
  return rc::gen::exec([] {
    const auto between = [](double low, double high) {
      return *rc::gen::inRange(static_cast<int>(low * 100), static_cast<int>(high * 100)) / 100.0;
    };
    std::vector<geometry::BendRow> rows;
    const int num = *rc::gen::inRange(1, 7);
    for (int i = 0; i < num; ++i) {
      rows.push_back({between(20, 400), base::Angle::degrees(between(-180, 180)),
                      base::Angle::degrees(between(5, 175)), between(10, 120)});
    }
    return *geometry::BendTable::make(rows, between(20, 400));
  });
}

}  // namespace bight::exchange::sample
