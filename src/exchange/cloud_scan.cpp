#include "exchange/cloud_scan.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "exchange/cloud_findings.h"

namespace bight::exchange {

using base::Failure;
using base::Result;
using geometry::Points;
using geometry::TubeFit;
using geometry::TubeFitOptions;

namespace {

struct Unit {
  const char* word;
  const char* name;
  double mm;
};
constexpr std::array<Unit, 4> kUnits = {{{"mm", "millimetres", 1.0},
                                         {"cm", "centimetres", 10.0},
                                         {"m", "metres", 1000.0},
                                         {"in", "inches", 25.4}}};

// A caliper's diameter says the unit when exactly one makes the scan agree to this.
constexpr double kSameDiameter_ratio = 0.06;
// Points drawn evenly on a mesh for the search and the ends.
constexpr std::size_t kOnMesh = 150000;

Points scaled(const Points& points, double factor) {
  if (factor == 1.0) return points;
  Points out = points;
  for (geometry::Vec3& p : out) p *= factor;
  return out;
}

std::string shown_mm(double length_mm) {
  return length_mm >= 10000.0 ? fmt::format("{:.3g} m", length_mm / 1000.0)
         : length_mm >= 100.0 ? fmt::format("{:.0f} mm", length_mm)
                              : fmt::format("{:.3g} mm", length_mm);
}

// What the scan would be in each unit, to answer by.
Question unit_question(const std::string& file, const Result<TubeFit>& raw) {
  Question question{"ask.units",
                    "In which unit are the scan's coordinates? The file does not say.",
                    file,
                    {},
                    ""};
  for (const Unit& unit : kUnits) {
    std::string meaning = unit.name;
    if (raw.ok()) {
      meaning += fmt::format(": a tube {} across and {} long", shown_mm(raw->od_mm * unit.mm),
                             shown_mm(raw->table.developed_length_mm() * unit.mm));
    }
    question.choices.push_back({unit.word, std::move(meaning)});
  }
  return question;
}

// The only unit in which the tube has the caliper's diameter.
const Unit* unit_by_diameter(double od_mm, double raw_od) {
  const Unit* found = nullptr;
  for (const Unit& unit : kUnits) {
    if (std::abs(raw_od * unit.mm / od_mm - 1.0) > kSameDiameter_ratio) continue;
    if (found != nullptr) return nullptr;
    found = &unit;
  }
  return found;
}

}  // namespace

Result<ScanReading> read_scan(const Cloud& cloud, const std::string& file,
                              const ScanOptions& options) {
  ScanReading reading;
  reading.format = cloud.format;
  const Points even = evenly_on(cloud, kOnMesh);
  const Unit* unit = nullptr;
  if (options.answers.find("units") == options.answers.end()) {
    const Result<TubeFit> raw = geometry::fit_tube(cloud.points, {}, even);
    if (raw.ok() && options.od_mm) unit = unit_by_diameter(*options.od_mm, raw->od_mm);
    if (unit == nullptr) {
      // Nonsense stays nonsense in any unit: no use in asking first.
      if (!raw.ok() && !options.od_mm)
        return Failure{raw.failure().code, file, raw.failure().message, raw.failure().remedy};
      reading.questions.push_back(unit_question(file, raw));
      return reading;
    }
    reading.findings.push_back(understood(
        "scan.unit", fmt::format("the scan is in {}: only so is the tube {:.2f} mm across as "
                                 "measured",
                                 unit->name, *options.od_mm)));
  } else {
    Asking asking(options.answers);
    const auto word = asking.answer(unit_question(file, Failure{}));
    BIGHT_TRY(const base::Done answered, asking.status());
    static_cast<void>(answered);
    for (const Unit& known : kUnits) {
      if (known.word == *word) unit = &known;
    }
  }
  TubeFitOptions fitting;
  fitting.od_mm = options.od_mm;
  fitting.swap_ends = options.swap_ends;
  const Result<TubeFit> fit =
      geometry::fit_tube(scaled(cloud.points, unit->mm), fitting, scaled(even, unit->mm));
  if (!fit.ok()) {
    return Failure{fit.failure().code, file, fit.failure().message, fit.failure().remedy};
  }
  reading.fit = *fit;
  for (part::Finding& finding : scan_findings(*fit, options.od_mm)) {
    reading.findings.push_back(std::move(finding));
  }
  part::sort_by_weight(reading.findings);
  return reading;
}

Result<ScanReading> read_scan_file(const std::string& path, const ScanOptions& options) {
  BIGHT_TRY(const Cloud cloud, read_cloud_file(path));
  return read_scan(cloud, path, options);
}

}  // namespace bight::exchange
