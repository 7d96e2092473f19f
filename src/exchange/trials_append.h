// Trial bends added to a shop's trials.toml without touching what stands there.
#pragma once

#include <string>
#include <vector>

#include "base/result.h"
#include "workshop/shop.h"

namespace bight::exchange {

// What makes a trial bend the one that stands in the file already.
enum class Twice {
  kAllAlike,          // everything it says
  kAlikeButSetAngle,  // everything else: what was set is not known but from a plan that has moved
  kAllowed,           // nothing: it is added once more
};

// The text with an entry for each trial below what it holds, in the file's own unit. The new text
// is read back before it is handed out. `file` names it in messages; `materials` is the text of the
// shop's materials.toml.
// Failure codes: those of read_shop for the text as it was, and for the new entries; learn.twice
// (every one of them is in the text already, as `twice` sees it); learn.write (the text ends in a
// way that nothing can be added to).
base::Result<std::string> with_trials(const std::string& text,
                                      const std::vector<workshop::TrialBend>& trials,
                                      const std::string& file, Twice twice = Twice::kAllAlike,
                                      const std::string& materials = {});

}  // namespace bight::exchange
