#include "part/part.h"

#include <cmath>

namespace bight::part {

std::string letters(Hand hand) {
  switch (hand) {
    case Hand::kSingle:
      return "";
    case Hand::kLeft:
      return "LH";
    case Hand::kRight:
      return "RH";
  }
  return "";
}

namespace {

// Rotation of a bend's plane from the first, as quarter turns and the rest.
struct Quarters {
  long whole = 0;
  base::Angle rest;
};

Quarters quarters(const Part& part, std::size_t bend) {
  const double turns = part.table.absolute_rotations()[bend].deg() / 90.0;
  const long whole = std::lround(turns);
  return {whole, base::Angle::degrees(90.0 * std::abs(turns - static_cast<double>(whole)))};
}

}  // namespace

stock::Section section_at(const Part& part, std::size_t bend) {
  if (part.section.round() || quarters(part, bend).whole % 2 == 0) return part.section;
  return part.section.turned();
}

base::Angle skew_at(const Part& part, std::size_t bend) {
  return part.section.round() ? base::Angle() : quarters(part, bend).rest;
}

Part mirrored(const Part& part) {
  Part other = part;
  other.table = part.table.mirrored();
  // Mirror through the plane of the first straight and bend: the start stays, the rest turns over.
  if (part.hand == Hand::kLeft) other.hand = Hand::kRight;
  if (part.hand == Hand::kRight) other.hand = Hand::kLeft;
  return other;
}

}  // namespace bight::part
