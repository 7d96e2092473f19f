#include "workshop/body.h"

namespace bight::workshop {

std::string_view word(CarriedBy carrier) {
  switch (carrier) {
    case CarriedBy::kFrame:
      return "frame";
    case CarriedBy::kArm:
      return "arm";
    case CarriedBy::kClamp:
      return "clamp";
    case CarriedBy::kPressureDie:
      return "pressure-die";
    case CarriedBy::kCarriage:
      return "carriage";
  }
  return "frame";
}

}  // namespace bight::workshop
