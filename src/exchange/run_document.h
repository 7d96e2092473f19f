// A run of pieces as a document: TOML file, JSON, record of kind run. docs/formats/run.md describes
// it, run.schema.json checks it.
#pragma once

#include <nlohmann/json.hpp>
#include <vector>

#include "base/result.h"
#include "exchange/document.h"
#include "running/run.h"
#include "running/run_state.h"

namespace bight::exchange {

// Failure codes: those of fields.h, run.schema (a newer schema), run.time, and those of
// running::check_run and running::take_events. Two events of one key that differ are no failure:
// the earlier stays.
base::Result<running::Run> read_run(const Document& document);
// Reading it gives the same run; angles as exact_deg writes them.
nlohmann::ordered_json run_document(const running::Run& run);

// Events alone: one object, a list, or {"events": [...]}; angles in degrees. Held against no run.
// Failure codes: those of fields.h, run.time, run.full.
base::Result<std::vector<running::Event>> read_events(const Document& document);
nlohmann::ordered_json event_json(const running::Event& event);

// What a run has come to: the counter, pieces, heats, verdicts.
nlohmann::ordered_json run_state_json(const running::Run& run, const running::RunState& state);

// How a merge ended: how many were added, how many were known, clashes.
nlohmann::ordered_json merge_json(const running::Merge& merge);

}  // namespace bight::exchange
