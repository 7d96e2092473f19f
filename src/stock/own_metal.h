// A metal as a shop keeps it: what it knows itself, and which metal of the catalogue it is like.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "stock/metals.h"

namespace bight::stock {

// Where a shop has its numbers from. Strongest first.
enum class Origin { kMeasured, kCertificate, kSupplier, kGuess };
// "measured", "certificate", "supplier", "guess": as written in files, in that order.
const std::vector<std::string_view>& origin_words();

// Where some numbers are from, and the person's own words for it.
struct SaidBy {
  Origin origin = Origin::kGuess;
  std::string source;

  friend bool operator==(const SaidBy&, const SaidBy&) = default;
};

// What is absent is as in the metal that this one is like.
struct OwnMetal {
  std::string name;
  std::string like;  // a metal of the catalogue; empty: none
  std::vector<std::string> aliases;
  std::string family;
  std::string spec;
  std::string condition;
  std::optional<double> yield_mpa;         // Rp0.2
  std::optional<double> tensile_mpa;       // Rm
  std::optional<double> elongation_ratio;  // A
  SaidBy strengths;                        // of these three
  std::optional<double> youngs_mpa;
  std::optional<double> density_kg_per_m3;
  std::optional<double> poisson_ratio;
  SaidBy stiffness;                      // of these three
  std::optional<double> strength_mpa;    // K
  std::optional<double> exponent_ratio;  // n
  SaidBy flow;                           // of these two
  std::string note;

  friend bool operator==(const OwnMetal&, const OwnMetal&) = default;
};

// Everything that keeps it from being worked with; `where` is the key it is written under in a
// shop's files (docs/formats/shop.md).
// Failure codes: material.name (none, or another name that is a catalogue metal's), material.like
// (not one metal of the catalogue), material.missing (a number nobody gives), material.value (a
// number no metal has, Rm below Rp0.2, K without n).
std::vector<base::Failure> faults_of(const OwnMetal& own, const Metals& catalogue);

// The metal to plan with. K and n that contradict Rm are treated as checked_hollomon() says; of
// half a pair the other half comes from the metal it is like, or K from Rm.
// Failure codes: the first of faults_of().
base::Result<Metal> metal_of(const OwnMetal& own, const Metals& catalogue);

}  // namespace bight::stock
