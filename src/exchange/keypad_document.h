// What keypads ask for, read from documents, and the keypad's table and set-up checklist as JSON.
// docs/formats/keypad.md describes them.
#pragma once

#include <nlohmann/json.hpp>
#include <vector>

#include "base/result.h"
#include "exchange/document.h"
#include "planning/checklist.h"
#include "planning/keypad.h"

namespace bight::exchange {

// [[keypad]] entries of a file keypads.toml in a shop folder.
// Failure codes: those of fields.h, keypad.schema (a newer schema), keypad.column, keypad.profile.
base::Result<std::vector<planning::KeypadProfile>> read_keypads(const Document& document);

// The entry of this bender, else that of any bender, else the usual one.
planning::KeypadProfile keypad_for(const std::vector<planning::KeypadProfile>& profiles,
                                   const workshop::Bender& bender);

nlohmann::ordered_json keypad_json(const planning::KeypadTable& table);
nlohmann::ordered_json checklist_json(const planning::Checklist& list);

}  // namespace bight::exchange
