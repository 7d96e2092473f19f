// From a chain of lines and arcs to a bent centreline.
#pragma once

#include <optional>
#include <string>

#include "exchange/dxf_chain.h"
#include "exchange/question.h"

namespace bight::exchange {

// An arc whose tangent misses its neighbour's by more is a kink, not a bend.
inline constexpr base::Angle kLargestKink = base::Angle::degrees(0.5);

// Arcs become bends of their radius; corners between lines become bends of the radius asked for
// (ask.radius). Small misses of tangency are smoothed: the straights keep their place. Nothing when
// a question is open.
// Failure codes: dxf.kink, dxf.chords (a curve drawn as many short lines), table.many, those of
// geometry. @pre chain.shape is kOpen.
base::Result<std::optional<Line>> line_of_chain(const DxfChain& chain, const std::string& file,
                                                Asking& asking);

}  // namespace bight::exchange
