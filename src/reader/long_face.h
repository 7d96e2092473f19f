// One free-form face that runs over several straights and bends.
#pragma once

#include "reader/scan.h"

namespace bight::reader {

// Replaces every free-form face whose cross-section is a circle (or part of one) carried along a
// chain of straights and arcs by one face for each straight and arc, of the kind and parameters
// fitted to its share of the grid. The pieces meet in rings, which become edges of the scan; the
// face's own edges stay with the piece they lie on. Faces that are no such chain within the
// tolerance of fit.h stay as they are. Call after recognise_free_faces.
void split_long_faces(Scan& scan);

}  // namespace bight::reader
