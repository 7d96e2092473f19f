// Looking up everything that is named by what it measures, and copper and conduit.
#pragma once

#include "base/result.h"
#include "stock/lookup.h"

namespace bight::stock {

// Each path of a look-up; what it fills and how it fails is said at find_stock().

base::Status search_round(Lookup& lookup);    // outside diameter and wall, or all walls
base::Status search_box(Lookup& lookup);      // two sides and a wall
base::Status search_copper(Lookup& lookup);   // nominal size, or outside diameter
base::Status search_conduit(Lookup& lookup);  // kind and trade size
base::Status search_bar(Lookup& lookup);      // round, square and flat
base::Status search_open(Lookup& lookup);     // angle and channel

}  // namespace bight::stock
