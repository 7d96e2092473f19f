// A bender's log of checks, read from documents, and what came of them as JSON.
// docs/formats/bender_check.md describes both.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "base/result.h"
#include "exchange/document.h"
#include "running/self_check.h"

namespace bight::exchange {

struct CheckLog {
  std::string bender;
  running::CheckLimits limits;
  std::vector<running::MachineCheck> checks;  // in order of days
};

// Failure codes: those of fields.h, check.schema (a newer schema), check.date, check.springback (a
// finished angle without the springback that is put back), check.reading.
base::Result<CheckLog> read_check_log(const Document& document);

// Every check's values with their intervals, and the trends.
nlohmann::ordered_json check_json(const std::string& bender,
                                  const std::vector<running::CheckResult>& results,
                                  const std::vector<running::CheckTrend>& trends);

}  // namespace bight::exchange
