// The movement of a plan's steps as an animation in glTF 2.0.
#pragma once

#include <string>

#include "base/result.h"
#include "planning/clearing.h"

namespace bight::exchange {

struct FilmStyle {
  clearance::FilmOptions moments;
  double moment_s = 0.04;  // how long each is shown
  double pause_s = 0.6;    // at the end of a step
};

// One file, binary or as text: bodies, die, room and tube, moment after moment. The tube is a row
// of short cylinders, an arc at most 6° each, that are moved into place; what a moment does not
// need has no size then. Metres, Y upwards. Failure codes: those of clearance::movement.
base::Result<std::string> film_gltf(const planning::Clearing& clearing, bool binary,
                                    const FilmStyle& style = {});

}  // namespace bight::exchange
