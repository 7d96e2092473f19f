// How far a delivered section may be from its nominal size.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/csv.h"
#include "base/result.h"
#include "stock/provenance.h"
#include "stock/section.h"

namespace bight::stock {

// Walls this close are the same wall: tables print them to 0.01 mm, and inch walls come out of 25.4
// with more digits (1.65 mm is the 0.065 in wall).
inline constexpr double kSameWall_mm = 0.006;

// What one delivery standard allows, as amounts below and above nominal, all >= 0. A number that
// is absent is not limited by the source, or nobody has read it. For square and rectangular tube
// od_* is the side in the plane of bending and width_* the other.
struct SizeTolerance {
  std::string standard;  // "ASTM A513 type 5"
  std::optional<double> od_minus_mm;
  std::optional<double> od_plus_mm;
  std::optional<double> width_minus_mm;
  std::optional<double> width_plus_mm;
  std::optional<double> wall_minus_mm;
  std::optional<double> wall_plus_mm;
  std::optional<double> ovality_mm;                  // what round tube may be oval on top of od_*
  Provenance provenance = Provenance::kUnconfirmed;  // of the weakest of the numbers
  std::string source;

  friend bool operator==(const SizeTolerance&, const SizeTolerance&) = default;
};

// The tolerances of delivery standards.
class DeliveryTable {
 public:
  // The built-in table (data/delivery_tolerances.csv).
  static base::Result<DeliveryTable> built_in();
  // A table with its columns. Failure codes: csv.column, csv.number, table.value, table.mark.
  static base::Result<DeliveryTable> read(const base::CsvTable& table);

  // The standards of the table, in its order.
  std::vector<std::string> standards() const;

  // The walls that a standard names one by one, thinnest first, each once.
  std::vector<double> single_walls_mm(std::string_view standard) const;

  // What a standard allows for a section; nothing if it says nothing about this size.
  // `nominal_mm` is the size a pipe is named by, NPS times 25.4, for standards that go by it.
  std::optional<SizeTolerance> tolerance(std::string_view standard, const Section& section,
                                         std::optional<double> nominal_mm = {}) const;

 private:
  enum class Quantity { kOd, kSide, kWall, kOvality };
  struct Row {
    std::string standard;
    Quantity quantity = Quantity::kOd;
    bool by_nominal = false;
    std::optional<double> size_from_mm;
    std::optional<double> size_to_mm;
    bool size_to_included = true;
    std::optional<double> wall_from_mm;
    std::optional<double> wall_to_mm;
    std::optional<double> plus;  // mm, or a share of the size
    std::optional<double> minus;
    bool share = false;
    std::optional<double> least_mm;
    std::optional<double> most_mm;
    Provenance provenance = Provenance::kUnconfirmed;
    std::string source;
  };
  static base::Result<Row> read_row(const base::CsvTable& table, std::size_t index);
  const Row* find(std::string_view standard, Quantity quantity, double size_mm, double wall_mm,
                  std::optional<double> nominal_mm) const;

  std::vector<Row> rows_;
};

}  // namespace bight::stock
