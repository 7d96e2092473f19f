#include "inspection/inspect.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace bight::inspection {

using base::Angle;
using base::Failure;
using part::Finding;
using part::Severity;

namespace {

// A value on its limit is within, to rounding.
constexpr double kOnLimit_ratio = 1e-9;

Verdict worse(Verdict a, Verdict b) {
  const auto rank = [](Verdict v) {
    switch (v) {
      case Verdict::kOutside:
        return 3;
      case Verdict::kUndecided:
        return 2;
      case Verdict::kWithin:
        return 1;
      case Verdict::kNotJudged:
        return 0;
    }
    return 0;
  };
  return rank(a) >= rank(b) ? a : b;
}

Verdict worst_of(const std::vector<Line>& lines) {
  Verdict verdict = Verdict::kNotJudged;
  for (const Line& line : lines) verdict = worse(verdict, line.verdict);
  return verdict;
}

struct Limits {
  std::optional<double> length_mm;
  std::optional<double> angle_deg;
  bool guard_band = false;
};

Line angle_line(std::string what, Angle wanted, Angle measured, Angle error, const Limits& limits) {
  Line line{std::move(what), "deg", wanted.deg(), measured.deg()};
  line.off = (measured - wanted).wrapped().deg();
  line.limit = limits.angle_deg;
  line.error = error.deg();
  line.verdict = judged(line.off, line.limit, line.error, limits.guard_band);
  return line;
}

Line length_line(std::string what, double wanted_mm, double measured_mm, double error_mm,
                 const Limits& limits) {
  Line line{std::move(what), "mm", wanted_mm, measured_mm};
  line.off = measured_mm - wanted_mm;
  line.limit = limits.length_mm;
  line.error = error_mm;
  line.verdict = judged(line.off, line.limit, error_mm, limits.guard_band);
  return line;
}

std::vector<Line> reading_lines(const geometry::BendTable& wanted, const Measured& measured,
                                const Limits& limits) {
  std::vector<Line> lines;
  const ReadingError& error = measured.error;
  for (std::size_t i = 0; i < measured.bends.size(); ++i) {
    const MeasuredBend& bend = measured.bends[i];
    const geometry::BendRow& row = wanted.rows()[i];
    if (bend.straight_mm) {
      lines.push_back(length_line(fmt::format("straight {}", i + 1), row.straight_mm,
                                  *bend.straight_mm, error.straight_mm, limits));
    }
    if (bend.rotation && i > 0) {
      lines.push_back(angle_line(fmt::format("rotation before bend {}", i + 1), row.rotation,
                                 *bend.rotation, error.rotation, limits));
    }
    if (bend.angle) {
      lines.push_back(
          angle_line(fmt::format("bend {}", i + 1), row.angle, *bend.angle, error.angle, limits));
    }
  }
  if (measured.last_straight_mm) {
    lines.push_back(length_line(fmt::format("straight {}", wanted.num_bends() + 1),
                                wanted.last_straight_mm(), *measured.last_straight_mm,
                                error.straight_mm, limits));
  }
  return lines;
}

Laid laid(Deviation deviation, const Measured& measured, const Agreement& agreement) {
  Laid out{std::move(deviation), {}, Verdict::kNotJudged};
  const double error_mm = measured.error.point_mm;
  const auto add = [&](std::string what, double off_mm, const std::optional<double>& limit_mm) {
    Line line{std::move(what), "mm"};
    line.off = off_mm;
    line.limit = limit_mm;
    line.error = error_mm;
    line.verdict = judged(off_mm, limit_mm, error_mm, agreement.guard_band);
    out.lines.push_back(std::move(line));
  };
  for (const PointOff& point : out.deviation.points) {
    const bool end = point.name.starts_with("end");
    add(point.name, point.distance_mm, end ? agreement.end_mm : agreement.corner_mm);
  }
  if (out.deviation.zone_mm) {
    add("largest distance from the drawn centreline", *out.deviation.zone_mm,
        agreement.zone_radius_mm);
  } else {
    // Known at the points only: the zone must hold at least these.
    add("largest distance of the measured points", out.deviation.worst_mm,
        agreement.zone_radius_mm);
  }
  out.verdict = worst_of(out.lines);
  return out;
}

base::Status check(const geometry::BendTable& wanted, const Measured& measured) {
  if (!measured.any_bend() && !measured.any_point() && !measured.any_section()) {
    return Failure{"inspect.nothing", measured.name, "nothing was measured",
                   "give at least one reading"};
  }
  if (!measured.bends.empty() && measured.bends.size() != wanted.num_bends()) {
    return Failure{"inspect.bends", measured.name,
                   fmt::format("{} bends are given, the part has {}", measured.bends.size(),
                               wanted.num_bends()),
                   "give one row for each bend, empty where it was not measured"};
  }
  return base::Done{};
}

// The piece laid over in every way that what was measured allows.
base::Status lay_all(const part::Part& part, const geometry::BendTable& wanted,
                     const Measured& measured, const Agreement& agreement, Inspection& out) {
  if (!measured.any_point() && !whole_table(measured, wanted)) return base::Done{};
  BIGHT_TRY(const Pairing pairing, Pairing::make(wanted, part.start, measured));
  std::vector<AlignBy> ways = {agreement.align};
  for (const AlignBy by : {AlignBy::kEndA, AlignBy::kFirstLeg, AlignBy::kBestFit, AlignBy::kZone}) {
    if (by != agreement.align) ways.push_back(by);
  }
  for (const AlignBy by : ways) {
    base::Result<Deviation> deviation = pairing.deviation(by, agreement.datum_points);
    if (deviation.ok()) {
      out.laid.push_back(laid(*deviation, measured, agreement));
      continue;
    }
    if (by != agreement.align) continue;
    out.findings.push_back({Severity::kCaution,
                            "inspect.align",
                            std::nullopt,
                            fmt::format("the piece cannot be laid over by {}: {}", words(by),
                                        deviation.failure().message),
                            deviation.failure().remedy,
                            "",
                            {}});
  }
  return base::Done{};
}

void add_alignment_findings(const Agreement& agreement, Inspection& out) {
  if (out.laid.empty()) return;
  const Laid& agreed = out.laid.front();
  if (agreed.deviation.turn_loose) {
    out.findings.push_back({Severity::kNote,
                            "inspect.turn-loose",
                            std::nullopt,
                            "the measured points lie so that a turn of the piece changes nothing; "
                            "distances across that turn are not known",
                            "measure a point off the line of the others",
                            "",
                            {}});
  }
  for (const Laid& other : out.laid) {
    const bool opposed =
        (agreed.verdict == Verdict::kWithin && other.verdict == Verdict::kOutside) ||
        (agreed.verdict == Verdict::kOutside && other.verdict == Verdict::kWithin);
    if (!opposed || agreed.deviation.by != agreement.align) continue;
    out.findings.push_back(
        {Severity::kCaution,
         "inspect.alignment-matters",
         std::nullopt,
         fmt::format("laid over by {} the piece is {} (worst {:.2f} mm), by {} it is {} (worst "
                     "{:.2f} mm)",
                     words(agreed.deviation.by), word(agreed.verdict), agreed.deviation.worst_mm,
                     words(other.deviation.by), word(other.verdict), other.deviation.worst_mm),
         "ask which was agreed; the report must name it",
         "ISO 1101 leaves the association to what is indicated",
         {{"agreed_mm", agreed.deviation.worst_mm}, {"other_mm", other.deviation.worst_mm}}});
    return;
  }
}

void add_line_findings(const std::vector<Line>& lines, std::vector<Finding>& findings) {
  for (const Line& line : lines) {
    const char* unit = line.unit == "deg" ? "°" : " mm";
    if (line.verdict == Verdict::kOutside) {
      findings.push_back({Severity::kStop,
                          "inspect.outside",
                          std::nullopt,
                          fmt::format("{}: off by {:+.2f}{}, allowed ±{:.2f}{}", line.what,
                                      line.off, unit, *line.limit, unit),
                          "correct and bend again, or agree the deviation",
                          "",
                          {{"off", line.off}, {"limit", *line.limit}}});
    } else if (line.verdict == Verdict::kUndecided) {
      findings.push_back(
          {Severity::kCaution,
           "inspect.undecided",
           std::nullopt,
           fmt::format("{}: off by {:+.2f}{}, allowed ±{:.2f}{}, and the reading "
                       "itself is only good to ±{:.2f}{}",
                       line.what, line.off, unit, *line.limit, unit, line.error, unit),
           "measure again with something finer",
           "ISO 14253-1, unconfirmed",
           {{"off", line.off}, {"limit", *line.limit}, {"error", line.error}}});
    }
  }
}

void add_section_findings(Inspection& out) {
  for (const SectionJudgement& section : out.sections) {
    for (const rules::RuleCheck& check : section.checks) {
      if (check.verdict == rules::Verdict::kMet) out.verdict = worse(out.verdict, Verdict::kWithin);
      if (check.verdict != rules::Verdict::kNotMet) continue;
      out.verdict = Verdict::kOutside;
      out.findings.push_back({Severity::kStop,
                              "inspect.section",
                              section.bend,
                              check.message,
                              "agree with the customer, or bend with better support",
                              fmt::format("{} {}, {}; {}; {}", check.code, check.edition,
                                          check.clause, check.source, check.notice),
                              {{"value", check.value}, {"limit", check.limit}}});
    }
  }
}

}  // namespace

std::string_view word(Verdict verdict) {
  switch (verdict) {
    case Verdict::kWithin:
      return "within";
    case Verdict::kOutside:
      return "outside";
    case Verdict::kUndecided:
      return "undecided";
    case Verdict::kNotJudged:
      return "not judged";
  }
  return "not judged";
}

Verdict judged(double off, const std::optional<double>& limit, double error, bool guard_band) {
  if (!limit) return Verdict::kNotJudged;
  const double size = std::abs(off) * (1.0 - kOnLimit_ratio);
  if (!guard_band) return size <= *limit ? Verdict::kWithin : Verdict::kOutside;
  if (size <= *limit - error) return Verdict::kWithin;
  return size > *limit + error ? Verdict::kOutside : Verdict::kUndecided;
}

base::Result<Inspection> inspect(const part::Part& part, const geometry::BendTable& wanted,
                                 const Measured& measured, const Agreement& agreement) {
  BIGHT_TRY(base::Done done, check(wanted, measured));
  Inspection out;
  out.piece = measured.name;
  Limits limits{agreement.length_mm, std::nullopt, agreement.guard_band};
  if (agreement.angle) limits.angle_deg = agreement.angle->deg();
  out.readings = reading_lines(wanted, measured, limits);
  BIGHT_TRY(done, lay_all(part, wanted, measured, agreement, out));
  static_cast<void>(done);
  std::vector<double> radii_mm;
  for (const geometry::BendRow& row : wanted.rows()) radii_mm.push_back(row.radius_mm);
  BIGHT_TRY(out.sections, judge_sections(part, measured, radii_mm, agreement.rules));
  out.verdict = worst_of(out.readings);
  add_line_findings(out.readings, out.findings);
  if (!out.laid.empty() && out.laid.front().deviation.by == agreement.align) {
    out.verdict = worse(out.verdict, out.laid.front().verdict);
    add_line_findings(out.laid.front().lines, out.findings);
  }
  add_alignment_findings(agreement, out);
  add_section_findings(out);
  if (out.verdict == Verdict::kNotJudged) {
    out.findings.push_back({Severity::kNote,
                            "inspect.not-judged",
                            std::nullopt,
                            "no tolerance says how far this piece may be off",
                            "give one with the part, or name it for this inspection",
                            "",
                            {}});
  }
  part::sort_by_weight(out.findings);
  return out;
}

}  // namespace bight::inspection
