#include "part/part.h"

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

Part mirrored(const Part& part) {
  Part other = part;
  other.table = part.table.mirrored();
  // Mirror through the plane of the first straight and bend: the start stays, the rest turns over.
  if (part.hand == Hand::kLeft) other.hand = Hand::kRight;
  if (part.hand == Hand::kRight) other.hand = Hand::kLeft;
  return other;
}

}  // namespace bight::part
