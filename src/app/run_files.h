// Run files as commands read and write them.
#pragma once

#include <string>
#include <vector>

#include "base/result.h"
#include "exchange/run_document.h"
#include "running/gauge_study.h"

namespace bight::app {

// A document of a file: JSON where it begins with a brace or bracket, else TOML.
// Failure codes: those of read_text_file and parse_toml; run.json (not JSON).
base::Result<exchange::Document> load_document(const std::string& path);

base::Result<running::Run> load_run(const std::string& path);

// JSON where the name ends in .json, else TOML. The old file stands until the new one is whole.
// Failure codes: run.write.
base::Status save_run(const running::Run& run, const std::string& path);

// Writes bytes. Failure codes: papers.write.
base::Status save_bytes(const std::string& bytes, const std::string& path);

// What was typed, when it is UTF-8 and so can be kept. Failure codes: run.text.
base::Status check_typed(const std::vector<std::string>& texts);

// The time where the program runs.
running::Moment moment_now();

// Readings of a gauge study: a table with the columns person, piece and angle (degrees).
// Failure codes: file.*, csv.*.
base::Result<std::vector<running::GaugeReading>> load_gauge_readings(const std::string& path);

}  // namespace bight::app
