// Readings whose pattern means something else than a wrong program. Used by correction.cpp.
#pragma once

#include "inspection/correction.h"

namespace bight::inspection {

// Looks at the readings of the piece and at the changes worked out from them; adds findings, and
// marks the entries that must not be corrected from these readings (Left::kPattern).
//  - correct.reversed: the piece was measured from end B.
//  - correct.mirrored: every rotation has the other sign.
//  - correct.included: included angles stand where bend angles should.
//  - correct.arc: all straights between bends are off by the same amount: the arcs use more or less
//    tube than believed.
//  - correct.heat: every bend opens by the same share more or less: this heat springs back
//    differently.
//  - correct.slip: one bend is far off and the others are right: it slipped, or was misread.
void add_patterns(const CorrectionRequest& request, Correction& correction);

}  // namespace bight::inspection
