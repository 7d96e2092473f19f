// The centreline of a bent tube out of a DXF drawing, R12 to 2018, text or binary.
#pragma once

#include <string>
#include <string_view>

#include "exchange/dxf_chain.h"
#include "exchange/question.h"

namespace bight::exchange {

// Finds the one open chain of lines and arcs that is the centreline, by what is drawn: a chain that
// bends, alone on its layer or in the drawing; else the layer whose name says centreline; else
// ask.layer and ask.chain. Also asks ask.units, where the drawing says none, and ask.radius.
// Notes say which layer, which unit, where end A is, and what was passed over.
// Failure codes: those of dxf_entities.h and dxf_line.h; dxf.none (no lines or arcs), dxf.closed,
// dxf.branched (nothing open), dxf.unit (a unit no workshop uses), ask.choice, ask.length.
base::Result<LineReading> read_dxf(std::string_view bytes, const std::string& file,
                                   const LineOptions& options = {});

// True when the bytes begin as a DXF drawing does.
bool looks_like_dxf(std::string_view bytes);

}  // namespace bight::exchange
