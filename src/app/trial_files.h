// The shop folder that trial bends are written to.
#pragma once

#include <string>
#include <vector>

#include "base/result.h"
#include "exchange/trials_append.h"
#include "workshop/shop.h"

namespace bight::app {

// The folder named, else the one in BIGHT_SHOP. Failure code: learn.shop (neither; the demo shop
// inside the program cannot be written to).
base::Result<std::string> shop_folder(const std::string& named);

// Adds trials to the folder's trials.toml, which is made where there is none; what stands there
// stays as it is. The file is replaced in one move: after a power failure it is the old one or the
// new one.
// Failure codes: file.missing (no shop.toml in the folder), learn.die (the shop has no die set of a
// trial's name), learn.write, those of exchange::with_trials.
base::Status add_trials(const std::string& folder, const std::vector<workshop::TrialBend>& trials,
                        exchange::Twice twice);

}  // namespace bight::app
