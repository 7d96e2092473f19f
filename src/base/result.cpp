#include "base/result.h"

namespace bight::base {

std::string Failure::text() const {
  std::string line = where.empty() ? message : where + ": " + message;
  if (!remedy.empty()) line += " (" + remedy + ")";
  return line;
}

}  // namespace bight::base
