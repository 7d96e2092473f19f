// What the list of parts shows of a document, whether or not it can be planned.
#pragma once

#include <string>
#include <string_view>

#include "geometry/bend_table.h"
#include "geometry/frame.h"
#include "records/record.h"

namespace bight::service {

// Never fails: what cannot be read is left empty.
records::PartSummary summarise(std::string_view document);

// Raised with every change of what summarise() gives.
inline constexpr std::int64_t kSummaryVersion = 2;

// Path data of the centreline seen obliquely, to be stroked in a box of 96 by 64.
std::string picture_path(const geometry::BendTable& table, const geometry::Frame& start);

}  // namespace bight::service
