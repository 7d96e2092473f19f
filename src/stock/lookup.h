// The state of one look-up and what its paths share: units, filters, answers.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/length.h"
#include "base/result.h"
#include "stock/catalogue.h"
#include "stock/size_match.h"
#include "stock/stock_query.h"

namespace bight::stock {

StockNote fact(std::string text);
StockNote warning(std::string text);

// At most six figures, no trailing zeros: "38.1".
std::string plain_number(double value);

base::Failure incomplete(std::string message, std::string remedy);

// One query on its way to an answer. The tables must outlive it.
struct Lookup {
  const SizeTables& tables;
  StockQuery query;
  base::LengthRules rules;
  StockSearch found = {};
  bool inch = false;  // how bare numbers were read; set by measure()

  // The sizes in mm. Settles the unit of bare numbers, looks gauges up, and notes both.
  // Failure codes: stock.units, stock.gauge.
  base::Result<std::vector<double>> measure();
  // The wall of a gauge, BWG if no system was typed, with a note. Failure code: stock.gauge.
  base::Result<double> gauge_wall_mm(const TypedGauge& typed);

  // Whether a row is of the kind, standard, type, schedule and series that were asked for.
  bool lets_through(const SizeRow& row) const;
  RowFilter filter() const;

  void add_match(const SizeRow& row);
  void add_near(const SizeRow& row);
  // A section as typed that no table lists, with the nearest that are listed.
  void add_unlisted(Section section, std::optional<CornerRange> corner);
  // The five rows of a kind whose names come closest to a name that is not there.
  void add_nearest_names(double nominal_mm, const RowFilter& kind);
  // Which of two sides lies in the plane of bending.
  void add_plane_note(double height_mm, double width_mm);

 private:
  bool plausible(bool in_inches) const;
  void guess_unit();
  bool standard_fits(const std::string& standard) const;
};

bool is_copper(const SizeRow& row);
bool is_pipe(const SizeRow& row);

}  // namespace bight::stock
