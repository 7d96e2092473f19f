#include "exchange/measured_table.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "base/typed_text.h"
#include "exchange/table_grid.h"
#include "exchange/table_read.h"
#include "exchange/table_text.h"
#include "exchange/table_words.h"

namespace bight::exchange {

using base::Angle;
using base::DecimalMark;
using base::Failure;
using base::Result;
using inspection::MeasuredBend;

namespace {

constexpr std::size_t kHeadingWithin_rows = 60;

// What a column of a measured piece holds.
enum class Column {
  kNone,
  kX,
  kY,
  kZ,
  kStraight,
  kRotation,
  kAngle,
  kFed,
  kTurned,
  kSet,
  kLargest,
  kLeast,
  kWall
};
constexpr std::size_t kNumColumns = 13;

bool is_angle(Column column) {
  return column == Column::kRotation || column == Column::kAngle || column == Column::kTurned ||
         column == Column::kSet;
}

// Headings as folded() gives them, beside those of tables.
constexpr std::pair<std::string_view, Column> kWords[] = {
    {"set", Column::kSet},
    {"set angle", Column::kSet},
    {"set to", Column::kSet},
    {"keyed in", Column::kSet},
    {"fed", Column::kFed},
    {"turned", Column::kTurned},
    {"d max", Column::kLargest},
    {"largest diameter", Column::kLargest},
    {"d min", Column::kLeast},
    {"least diameter", Column::kLeast},
    {"smallest diameter", Column::kLeast},
    {"wall", Column::kWall},
};

struct Head {
  Column column = Column::kNone;
  std::optional<TableUnit> unit;
  std::optional<bool> included;
};

Head by_role(const Heading& heading) {
  switch (heading.role) {
    case Role::kX:
      return {Column::kX, heading.unit, {}};
    case Role::kY:
      return {Column::kY, heading.unit, {}};
    case Role::kZ:
      return {Column::kZ, heading.unit, {}};
    case Role::kStraight:
      return {Column::kStraight, heading.unit, {}};
    case Role::kRotation:
      return {Column::kRotation, heading.unit, {}};
    case Role::kAngle:
      return {Column::kAngle, heading.unit, {}};
    case Role::kBendAngle:
      return {Column::kAngle, heading.unit, false};
    case Role::kIncluded:
      return {Column::kAngle, heading.unit, true};
    default:
      return {};
  }
}

// "set [deg]", "d max (in)": our own words, with a unit behind them.
Head head_of(std::string_view cell) {
  std::string text = folded(cell);
  std::optional<TableUnit> unit;
  const auto find = [&](std::string_view word) {
    const auto* found = std::find_if(std::begin(kWords), std::end(kWords),
                                     [&](const auto& entry) { return entry.first == word; });
    return found == std::end(kWords) ? Column::kNone : found->second;
  };
  Column own = find(text);
  if (const std::size_t space = text.rfind(' '); own == Column::kNone && space != text.npos) {
    unit = unit_of_word(text.substr(space + 1));
    if (unit) own = find(text.substr(0, space));
  }
  if (own != Column::kNone) return {own, unit, {}};
  return by_role(read_heading(cell));
}

class MeasuredTable {
 public:
  MeasuredTable(const TextGrid& grid, const std::string& file, const MeasuredTableOptions& options)
      : grid_(grid), file_(file), options_(options), asking_(options.answers) {}

  Result<MeasuredPiece> read() {
    MeasuredPiece piece;
    BIGHT_TRY(base::Done done, find_columns());
    ask();
    BIGHT_TRY(done, asking_.status());
    static_cast<void>(done);
    piece.questions = asking_.open();
    if (!piece.questions.empty()) return piece;
    piece.unit =
        length_unit_ == TableUnit::kInch ? base::LengthUnit::kInch : base::LengthUnit::kMillimetre;
    if (points_) {
      read_points(piece.measured);
    } else {
      read_bends(piece.measured);
    }
    if (failure_) return *failure_;
    return piece;
  }

 private:
  std::size_t& at(Column column) { return columns_[static_cast<std::size_t>(column)]; }
  bool has(Column column) const { return columns_[static_cast<std::size_t>(column)] > 0; }

  // The first row that names what was measured.
  base::Status find_columns() {
    for (std::size_t row = 0; row < std::min(grid_.num_rows(), kHeadingWithin_rows); ++row) {
      columns_.fill(0);
      heads_.assign(grid_.num_cells(row), Head());
      for (std::size_t i = 0; i < heads_.size(); ++i) {
        if (looks_numeric(grid_.cell(row, i))) continue;
        heads_[i] = head_of(grid_.cell(row, i));
        if (heads_[i].column == Column::kNone) continue;
        if (at(heads_[i].column) > 0) {
          return Failure{
              "measured.columns", where(row, i),
              fmt::format("columns {} and {} hold the same", at(heads_[i].column), i + 1),
              "take one out"};
        }
        at(heads_[i].column) = i + 1;
      }
      points_ = has(Column::kX) && has(Column::kY);
      const bool bends = std::any_of(columns_.begin() + 4, columns_.end(),
                                     [](std::size_t column) { return column > 0; });
      if (!points_ && !bends) continue;
      heading_row_ = row;
      for (std::size_t i = row + 1; i < grid_.num_rows(); ++i) {
        if (!grid_.cell(i, 0).starts_with('#')) rows_.push_back(i);
      }
      return count_rows();
    }
    return Failure{"measured.columns", file_, "no heading says what was measured",
                   "a first row such as: bend, straight, rotation, angle - or: point, x, y, z"};
  }

  base::Status count_rows() const {
    const std::size_t wanted = points_ ? options_.num_points : options_.num_bends;
    const bool fine = rows_.size() == wanted || (!points_ && rows_.size() == wanted + 1);
    if (fine) return base::Done{};
    return Failure{
        "measured.rows", file_,
        fmt::format("{} rows stand below the heading, the part has {} {}", rows_.size(), wanted,
                    points_ ? "points: end A, its corners, end B" : "bends"),
        points_ ? "give a row for each, with empty cells where nothing was measured"
                : "give a row for each, with empty cells where nothing was measured, and one more "
                  "if the last straight was measured"};
  }

  void ask() {
    ask_units();
    ask_decimal();
    if (!has(Column::kAngle)) return;
    const Head& head = heads_[at(Column::kAngle) - 1];
    included_ = head.included.value_or(false);
  }

  std::vector<std::size_t> length_columns() const {
    std::vector<std::size_t> out;
    for (std::size_t i = 0; i < heads_.size(); ++i) {
      if (heads_[i].column != Column::kNone && !is_angle(heads_[i].column)) out.push_back(i);
    }
    return out;
  }

  void ask_units() {
    bool told = true;  // every length says its unit
    for (const std::size_t column : length_columns()) {
      if (heads_[column].unit) {
        length_unit_ = *heads_[column].unit;
        continue;
      }
      for (const std::size_t row : rows_) {
        const std::string_view cell = grid_.cell(row, column);
        const bool zero = cell.find_first_of("123456789") == std::string_view::npos;
        told = told && (is_blank(cell) || zero || own_unit(cell));
      }
    }
    if (told) return;
    const auto answer = asking_.answer(
        {"ask.units",
         "Are the lengths in millimetres or inches? Neither the heading nor the cells say.",
         where(heading_row_, 0),
         {{"mm", "millimetres"}, {"in", "inches"}},
         ""});
    length_unit_ = answer == "in" ? TableUnit::kInch : TableUnit::kMillimetre;
  }

  void ask_decimal() {
    std::size_t num_points = 0, num_commas = 0;
    std::optional<std::pair<std::size_t, std::size_t>> doubtful;
    for (const std::size_t row : rows_) {
      for (std::size_t i = 0; i < grid_.num_cells(row); ++i) {
        const MarkHint hint = mark_hint(grid_.cell(row, i));
        num_points += hint == MarkHint::kPoint ? 1u : 0u;
        num_commas += hint == MarkHint::kComma ? 1u : 0u;
        const bool open = hint == MarkHint::kCommas3 ||
                          (hint == MarkHint::kPoints3 && grid_.separator() != Separator::kComma);
        if (open && !doubtful) doubtful = {row, i};
      }
    }
    mark_ = num_commas > num_points ? DecimalMark::kComma : DecimalMark::kPoint;
    if ((num_points > 0) != (num_commas > 0)) return;
    if (num_points == 0 && !doubtful) return;
    const auto [row, column] = doubtful.value_or(std::pair(rows_.front(), std::size_t{0}));
    const auto answer = asking_.answer(
        {"ask.decimal",
         num_points > 0 ? std::string("Which mark parts the decimals? Some cells "
                                      "use the comma, others the point.")
                        : fmt::format("Is {} a number with decimals, or are these "
                                      "thousands?",
                                      base::as_typed(grid_.cell(row, column))),
         where(row, column),
         {{"point", "1.234 lies between 1 and 2"}, {"comma", "1,234 lies between 1 and 2"}},
         ""});
    mark_ = answer == "comma" ? DecimalMark::kComma : DecimalMark::kPoint;
  }

  std::string where(std::size_t row, std::size_t column) const {
    return fmt::format("{}:{}, column {}", file_, grid_.line(row), column + 1);
  }

  template <typename T>
  std::optional<T> kept(const Result<T>& value, std::size_t row, std::size_t column) {
    if (value.ok()) return *value;
    if (!failure_) {
      failure_ =
          Failure{"table.cell", where(row, column),
                  fmt::format("{} cannot be read here: {}", base::as_typed(grid_.cell(row, column)),
                              value.failure().message),
                  value.failure().remedy};
    }
    return std::nullopt;
  }

  std::optional<double> length_mm(std::size_t row, Column which) {
    if (!has(which) || is_blank(grid_.cell(row, at(which) - 1))) return std::nullopt;
    const std::size_t column = at(which) - 1;
    const TableUnit unit = heads_[column].unit.value_or(length_unit_);
    return kept(cell_length_mm(grid_.cell(row, column), unit, mark_), row, column);
  }

  std::optional<Angle> angle(std::size_t row, Column which) {
    if (!has(which) || is_blank(grid_.cell(row, at(which) - 1))) return std::nullopt;
    const std::size_t column = at(which) - 1;
    const TableUnit unit = heads_[column].unit.value_or(TableUnit::kDegree);
    return kept(cell_angle(grid_.cell(row, column), unit, mark_), row, column);
  }

  void read_points(inspection::Measured& measured) {
    for (const std::size_t row : rows_) {
      const std::optional<double> x_mm = length_mm(row, Column::kX);
      const std::optional<double> y_mm = length_mm(row, Column::kY);
      const std::optional<double> z_mm = length_mm(row, Column::kZ);
      measured.points_mm.emplace_back();
      if (!x_mm && !y_mm && !z_mm) continue;
      if ((!x_mm || !y_mm || (!z_mm && has(Column::kZ))) && !failure_) {
        failure_ = Failure{"table.cell", where(row, 0), "a coordinate of this point is missing",
                           "give all of them, or none"};
      }
      measured.points_mm.back() =
          geometry::Vec3(x_mm.value_or(0.0), y_mm.value_or(0.0), z_mm.value_or(0.0));
    }
  }

  void read_bends(inspection::Measured& measured) {
    for (std::size_t i = 0; i < rows_.size(); ++i) {
      const std::size_t row = rows_[i];
      if (i == options_.num_bends) {
        measured.last_straight_mm = length_mm(row, Column::kStraight);
        break;
      }
      MeasuredBend bend;
      bend.straight_mm = length_mm(row, Column::kStraight);
      bend.rotation = angle(row, Column::kRotation);
      bend.angle = angle(row, Column::kAngle);
      if (bend.angle && included_) bend.angle = Angle::degrees(180) - *bend.angle;
      bend.fed_mm = length_mm(row, Column::kFed);
      bend.turned = angle(row, Column::kTurned);
      bend.set = angle(row, Column::kSet);
      bend.d_max_mm = length_mm(row, Column::kLargest);
      bend.d_min_mm = length_mm(row, Column::kLeast);
      bend.wall_mm = length_mm(row, Column::kWall);
      if (i == 0) bend.rotation.reset();
      measured.bends.push_back(bend);
    }
  }

  const TextGrid& grid_;
  const std::string& file_;
  const MeasuredTableOptions& options_;
  Asking asking_;
  std::array<std::size_t, kNumColumns> columns_{};  // from 1; 0: not there
  std::vector<Head> heads_;
  std::size_t heading_row_ = 0;
  std::vector<std::size_t> rows_;
  bool points_ = false;
  bool included_ = false;
  TableUnit length_unit_ = TableUnit::kMillimetre;
  DecimalMark mark_ = DecimalMark::kPoint;
  std::optional<Failure> failure_;
};

}  // namespace

Result<MeasuredPiece> read_measured_table(std::string_view bytes, const std::string& file,
                                          const MeasuredTableOptions& options) {
  if (bytes.size() > kLargestTable_bytes) {
    return Failure{"table.size", file, "the table is larger than 8 MiB", "is this the right file?"};
  }
  BIGHT_TRY(TidyText text, tidy_text(bytes, file));
  BIGHT_TRY(const TextGrid grid, TextGrid::cut(std::move(text.text), file));
  return MeasuredTable(grid, file, options).read();
}

}  // namespace bight::exchange
