// The part: what the drawing asks for, before any machine is thought of.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/angle.h"
#include "geometry/bend_table.h"
#include "geometry/frame.h"
#include "part/finding.h"
#include "stock/material.h"
#include "stock/section.h"

namespace bight::part {

// Which of a mirrored pair this is; kSingle when there is no pair.
enum class Hand { kSingle, kLeft, kRight };

// "", "LH", "RH": the letters printed on sheets and bundles.
std::string letters(Hand hand);

// What one end needs beyond the bends.
struct PartEnd {
  double trim_mm = 0.0;  // spare length left on and cut off after bending
  std::string detail;    // fitting, flare, cope, as written on the drawing
};

// How exact the customer wants it; absent = the shop's default applies.
struct Tolerance {
  std::optional<double> length_mm;
  std::optional<base::Angle> angle;
};

struct Part {
  std::string name;
  std::string revision;
  std::string customer;
  std::string drawing;
  std::string note;
  Hand hand = Hand::kSingle;
  int quantity = 1;

  std::string tube_text;  // the designation as the catalogue names it
  stock::Section section;
  stock::Material material;
  bool welded = true;  // has a seam to place; seamless and solid stock do not

  geometry::BendTable table;  // wanted centreline, from end A
  geometry::Frame start;      // where the drawing puts end A
  // The radii in the table are the die's, and the part's follow from springback. Otherwise they
  // are those of the finished part.
  bool radii_are_die = false;

  PartEnd end_a;
  PartEnd end_b;
  Tolerance tolerance;
  std::vector<std::string> rules;  // acceptance rules the part must meet, by id

  std::vector<Finding> findings;  // what reading the part brought up
};

// The section as it stands in the plane of a bend (0-based): a rectangular tube turned by a quarter
// between bends lies with its other side in the plane.
stock::Section section_at(const Part& part, std::size_t bend);

// How far a rectangular section is from lying square in a bend's plane, 0° to 45°; 0 for round.
base::Angle skew_at(const Part& part, std::size_t bend);

// The same part of the other hand: every rotation negated, left and right exchanged.
// Lengths and angles stay. mirrored(mirrored(p)) has p's table exactly.
Part mirrored(const Part& part);

}  // namespace bight::part
