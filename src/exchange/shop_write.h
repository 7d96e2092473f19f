// What a workshop owns, written as the documents that shop_toml.h reads.
#pragma once

#include <nlohmann/json.hpp>

#include "base/length.h"
#include "workshop/shop.h"
#include "workshop/stock_tube.h"

namespace bight::exchange {

// Reading a document gives the same values: lengths as in exact_value.h; angles, section moduli and
// torques exactly where they came from a number of degrees, cm³ or N·m, else to the last digit of a
// double. Keys at their defaults are
// left out; units is written for inches alone. @pre finite numbers, lengths up to
// base::kLongestLength_mm, level 1 to 20.
nlohmann::ordered_json bender_document(const workshop::Bender& bender,
                                       base::LengthUnit unit = base::LengthUnit::kMillimetre);
nlohmann::ordered_json die_set_document(const workshop::DieSet& die,
                                        base::LengthUnit unit = base::LengthUnit::kMillimetre);
nlohmann::ordered_json trial_document(const workshop::TrialBend& trial,
                                      base::LengthUnit unit = base::LengthUnit::kMillimetre);
// Strengths are written in MPa, so the unit is of no account.
nlohmann::ordered_json material_document(const stock::OwnMetal& material,
                                         base::LengthUnit unit = base::LengthUnit::kMillimetre);
nlohmann::ordered_json stock_tube_document(const workshop::StockTube& tube,
                                           base::LengthUnit unit = base::LengthUnit::kMillimetre);

// The shop itself, without what it owns.
nlohmann::ordered_json shop_document(const workshop::Shop& shop,
                                     base::LengthUnit unit = base::LengthUnit::kMillimetre);

}  // namespace bight::exchange
