#include "reader/recover.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <tuple>

#include "reader/ends.h"
#include "reader/fit.h"
#include "reader/long_face.h"
#include "reader/tube.h"

namespace bight::reader {

using base::Failure;
using exchange::EndCut;
using exchange::StepReading;
using part::Finding;
using part::Severity;

namespace {

// A table that already lies this near its skin is not refitted.
constexpr double kFitsAlready_mm = 1e-6;
// Deviation from here on is worth a caution: a tenth of what a bender holds.
constexpr double kPoorFit_mm = 0.05;
// Points that take part in a fit; more add nothing but time.
constexpr std::size_t kMostFitPoints = 4000;

std::string plural(std::size_t count, const char* one, const char* many) {
  return fmt::format("{} {}", count, count == 1 ? one : many);
}

// "6 flat faces and 2 round ones", for people.
std::string faces_text(const Scan& scan, const std::vector<std::size_t>& faces) {
  std::array<std::size_t, 4> counts{};
  for (const std::size_t face : faces) {
    switch (scan.faces[face].kind) {
      case SurfaceKind::kPlane:
        ++counts[0];
        break;
      case SurfaceKind::kCylinder:
      case SurfaceKind::kCone:
        ++counts[1];
        break;
      case SurfaceKind::kTorus:
      case SurfaceKind::kSphere:
        ++counts[2];
        break;
      case SurfaceKind::kFree:
        ++counts[3];
        break;
    }
  }
  static constexpr const char* kWords[] = {"flat", "round", "doubly curved", "free-form"};
  std::string text;
  for (std::size_t i = 0; i < counts.size(); ++i) {
    if (counts[i] == 0) continue;
    text += fmt::format("{}{} {}", text.empty() ? "" : ", ", counts[i], kWords[i]);
  }
  return text + (faces.size() == 1 ? " face" : " faces");
}

Vec3 size_mm(const Scan& scan, const std::vector<std::size_t>& faces) {
  Vec3 low = Vec3::Constant(1e300);
  Vec3 high = Vec3::Constant(-1e300);
  const auto take = [&](const Vec3& p) {
    low = low.cwiseMin(p);
    high = high.cwiseMax(p);
  };
  for (const std::size_t face : faces) {
    for (const Sample& sample : scan.faces[face].grid) take(sample.point_mm);
    for (const std::size_t edge : scan.faces[face].edges) {
      for (const Vec3& p : scan.edges[edge].points_mm) take(p);
    }
  }
  return low.x() > high.x() ? Vec3(Vec3::Zero()) : Vec3(high - low);
}

std::string body_text(const Scan& scan, std::size_t index) {
  const ScanBody& body = scan.bodies[index];
  const Vec3 size = size_mm(scan, body.faces);
  const std::string name =
      body.name.empty() ? fmt::format("body {}", index + 1) : fmt::format("body '{}'", body.name);
  return fmt::format("{} ({}, {:.1f} x {:.1f} x {:.1f} mm)", name, faces_text(scan, body.faces),
                     size.x(), size.y(), size.z());
}

Failure not_a_tube(const Scan& scan) {
  std::string found;
  const std::size_t shown = std::min<std::size_t>(scan.bodies.size(), 3);
  for (std::size_t i = 0; i < shown; ++i) {
    found += (found.empty() ? "" : "; ") + body_text(scan, i);
  }
  if (scan.bodies.size() > shown) {
    found += fmt::format("; and {} more", scan.bodies.size() - shown);
  }
  return {"step.not-a-tube", "", "no bent tube or bar was found; the file holds " + found,
          "save the tube alone, as a solid with round or rectangular section"};
}

// What the tube is until its ends are cut and its direction chosen.
struct Shape {
  geometry::BendTable table;
  geometry::Frame start;
  std::vector<Outline> outlines;
};

Shape fitted(const Tube& tube) {
  Shape shape{tube.path.table, tube.path.start, tube.outlines};
  if (deviation(shape.table, shape.start, shape.outlines, tube.points).max_mm < kFitsAlready_mm) {
    return shape;
  }
  std::vector<SkinPoint> points;
  const std::size_t stride = tube.points.size() / kMostFitPoints + 1;
  for (std::size_t i = 0; i < tube.points.size(); i += stride) points.push_back(tube.points[i]);
  Fitted better = refit(shape.table, shape.start, shape.outlines, points);
  return {better.table, better.start, better.outlines};
}

// Sizes to a millionth, or to the power of ten above the scatter of the points: a file in inches
// or of approximated surfaces turns back into the numbers people know.
class Tidy {
 public:
  explicit Tidy(double scatter_mm)
      : grains_per_mm_(std::pow(10.0, -std::ceil(std::log10(std::clamp(scatter_mm, 1e-6, 1e-2))))) {
  }
  double operator()(double value_mm) const {
    return std::round(value_mm * grains_per_mm_) / grains_per_mm_;
  }

 private:
  double grains_per_mm_;
};

base::Result<stock::Section> section_of(const Tube& tube, const std::vector<Outline>& outlines,
                                        double scatter_mm, std::vector<Finding>& findings) {
  const Outline& outer = outlines.front();
  const Tidy tidy_mm(scatter_mm);
  if (tube.round) {
    const double od_mm = tidy_mm(2.0 * outer.corner_mm);
    if (!tube.hollow) return stock::Section::round_bar(od_mm);
    return stock::Section::round_tube(od_mm, tidy_mm(outer.corner_mm - outlines[1].corner_mm));
  }
  const double height_mm = tidy_mm(2.0 * (outer.half_height_mm + outer.corner_mm));
  const double width_mm = tidy_mm(2.0 * (outer.half_width_mm + outer.corner_mm));
  const double corner_mm = tidy_mm(outer.corner_mm);
  if (!tube.hollow) {
    if (corner_mm > 0.0) {
      findings.push_back({Severity::kNote,
                          "step.bar-corners",
                          std::nullopt,
                          fmt::format("the bar's corners are rounded to {:.3f} mm; its section is "
                                      "taken with sharp ones",
                                      corner_mm),
                          "",
                          "",
                          {{"corner_mm", corner_mm}}});
    }
    return stock::Section::rect_bar(height_mm, width_mm);
  }
  const Outline& inner = outlines[1];
  const double wall_mm = tidy_mm(
      0.5 * (outer.half_height_mm + outer.corner_mm - inner.half_height_mm - inner.corner_mm +
             outer.half_width_mm + outer.corner_mm - inner.half_width_mm - inner.corner_mm));
  const double expected_mm = std::max(0.0, corner_mm - wall_mm);
  if (std::abs(inner.corner_mm - expected_mm) > kSame_mm) {
    findings.push_back({Severity::kNote,
                        "step.inner-corners",
                        std::nullopt,
                        fmt::format("the inner corners are rounded to {:.3f} mm; the section is "
                                    "taken with {:.3f} mm, the outer radius less the wall",
                                    inner.corner_mm, expected_mm),
                        "",
                        "",
                        {{"corner_mm", inner.corner_mm}, {"taken_mm", expected_mm}}});
  }
  return stock::Section::rect_tube(height_mm, width_mm, wall_mm, corner_mm);
}

double half_size_mm(const Outline& outer) {
  return std::hypot(outer.half_height_mm, outer.half_width_mm) + outer.corner_mm;
}

std::string end_text(const char* name, const exchange::StepEnd& end) {
  switch (end.cut) {
    case EndCut::kSquare:
      return fmt::format("End {} is cut square", name);
    case EndCut::kMitre:
      return fmt::format("End {} is cut at {:.3f}° from square; the centreline ends at the cut",
                         name, end.mitre.deg());
    case EndCut::kCoped:
      if (end.cut_radius_mm > 0.0) {
        return fmt::format(
            "End {} is coped round a diameter of {:.3f} mm; the centreline ends at the cut, the "
            "tube reaches up to {:.3f} mm further",
            name, 2.0 * end.cut_radius_mm, end.longest_mm);
      }
      return fmt::format(
          "End {} is shaped; the centreline ends at its furthest point, the shortest side lies "
          "{:.3f} mm back",
          name, -end.shortest_mm);
  }
  return {};
}

// One end: the outer skin's cut, unless the bore or a closing face reaches further out.
EndLook judge_end(const Scan& scan, const Tube& tube, const Shape& shape, bool at_b,
                  std::vector<Finding>& findings) {
  const geometry::Centreline line = geometry::lay_out(shape.table, shape.start);
  const char* name = at_b ? "B" : "A";
  const std::vector<base::Angle> turns = frame_turns(shape.table);
  EndLook look =
      look_at_end(scan, tube.outer_edges[at_b ? 1 : 0], tube.skin_faces, line, turns, at_b);
  const EndLook bore =
      look_at_end(scan, tube.inner_edges[at_b ? 1 : 0], tube.skin_faces, line, turns, at_b);
  const double cap_mm = furthest_cap_mm(scan, tube.bodies, line, at_b,
                                        half_size_mm(shape.outlines.front()), look.beyond_mm);
  const double seen_mm = look.beyond_mm;
  if (look.covered) {
    if (bore.seen && bore.beyond_mm > seen_mm) look = bore;
    look.beyond_mm = std::max(look.beyond_mm, cap_mm);
    findings.push_back(
        {Severity::kCaution,
         "step.covered-end",
         std::nullopt,
         fmt::format(
             "at end {} the outside runs into something fused on; the tube is taken to end "
             "{:.3f} mm further on, {}",
             name, look.beyond_mm - seen_mm,
             look.beyond_mm > seen_mm ? "where its bore or end face is" : "where it is seen"),
         "check where the tube really ends",
         "",
         {{"hidden_mm", look.beyond_mm - seen_mm}}});
    return look;
  }
  const bool bore_further =
      bore.seen && bore.end.cut == EndCut::kSquare && look.end.cut == EndCut::kSquare;
  const double end_mm = std::max(cap_mm, bore_further ? bore.beyond_mm : seen_mm);
  if (end_mm > seen_mm + kSame_mm) {
    findings.push_back(
        {Severity::kNote,
         "step.end-bevel",
         std::nullopt,
         fmt::format("end {} is bevelled or rounded over {:.3f} mm", name, end_mm - seen_mm),
         "",
         "",
         {{"bevel_mm", end_mm - seen_mm}}});
    look.beyond_mm = end_mm;
  }
  return look;
}

// The lower of two ends by distance from the origin, then by coordinates.
bool second_is_a(const Vec3& first, const Vec3& second) {
  constexpr double kEqual_mm = 1e-3;
  const double difference_mm = first.norm() - second.norm();
  if (std::abs(difference_mm) > kEqual_mm) return difference_mm > 0.0;
  for (int i = 0; i < 3; ++i) {
    if (std::abs(first[i] - second[i]) > kEqual_mm) return first[i] > second[i];
  }
  return false;
}

bool odd_quarter_turns(const geometry::BendTable& table) {
  base::Angle total;
  for (const geometry::BendRow& row : table.rows()) total = total + row.rotation;
  return static_cast<long>(std::llround(total.deg() / 90.0)) % 2 != 0;
}

// A flat face square across the tube and within it: where one of several bodies ends.
bool is_inner_joint(const Scan& scan, std::size_t index, const geometry::Centreline& line,
                    double half_mm) {
  const ScanFace& face = scan.faces[index];
  if (face.kind != SurfaceKind::kPlane) return false;
  for (const geometry::Segment& segment : line.segments) {
    for (const double at_mm : {0.0, segment.length_mm}) {
      const geometry::Frame frame = segment.at(at_mm);
      if (std::abs(face.axis.dot(frame.ahead)) < 1.0 - 1e-6) continue;
      bool all = true;
      for (const std::size_t edge : face.edges) {
        for (const Vec3& p : scan.edges[edge].points_mm) {
          const Vec3 v = p - frame.origin_mm;
          all = all && std::abs(v.dot(frame.ahead)) < 0.1 && v.norm() < half_mm + 0.1;
        }
      }
      if (all) return true;
    }
  }
  return false;
}

// Faces of the tube's own bodies that belong neither to its skin nor to its ends.
std::vector<std::size_t> features_of(const Scan& scan, const Tube& tube,
                                     const geometry::Centreline& line,
                                     const std::array<double, 2>& span_mm, double half_mm) {
  std::vector<std::size_t> features;
  const std::array<Vec3, 2> ends = {line.start_mm(), line.end_mm()};
  const std::array<Vec3, 2> ahead = {line.segments.front().start.ahead, line.end.ahead};
  for (const std::size_t body : tube.bodies) {
    for (const std::size_t face : scan.bodies[body].faces) {
      if (std::binary_search(tube.skin_faces.begin(), tube.skin_faces.end(), face)) continue;
      bool at_an_end = false;
      for (std::size_t k = 0; k < 2; ++k) {
        bool all = true;
        for (const std::size_t edge : scan.faces[face].edges) {
          for (const Vec3& p : scan.edges[edge].points_mm) {
            const Vec3 v = p - ends[k];
            const double along_mm = v.dot(ahead[k]);
            // A slanting cut reaches along the tube, and aside where it runs into a bend.
            all = all && std::abs(along_mm) <= half_mm + span_mm[k] &&
                  (v - along_mm * ahead[k]).norm() <= half_mm + 0.1 + 0.5 * span_mm[k];
          }
        }
        at_an_end = at_an_end || all;
      }
      if (!at_an_end && !is_inner_joint(scan, face, line, half_mm)) features.push_back(face);
    }
  }
  return features;
}

void report_ignored(const Scan& scan, const Tube& tube, const std::vector<std::string>& others,
                    const std::vector<std::size_t>& features, std::vector<Finding>& findings) {
  for (const std::string& other : others) {
    findings.push_back({Severity::kCaution,
                        "step.other-tube",
                        std::nullopt,
                        "the file also holds " + other + "; the longest was taken",
                        "save each tube in a file of its own",
                        "",
                        {}});
  }
  std::size_t ignored = 0;
  for (std::size_t body = 0; body < scan.bodies.size(); ++body) {
    if (std::binary_search(tube.bodies.begin(), tube.bodies.end(), body)) continue;
    constexpr std::size_t kMostNamed = 20;
    if (++ignored > kMostNamed) continue;
    findings.push_back({Severity::kNote,
                        "step.ignored-body",
                        std::nullopt,
                        body_text(scan, body) + " is not part of the tube and was left out",
                        "",
                        "",
                        {}});
  }
  if (!features.empty()) {
    const Vec3 size = size_mm(scan, features);
    findings.push_back(
        {Severity::kNote,
         "step.ignored-faces",
         std::nullopt,
         fmt::format("on the tube's own body {} (within {:.1f} x {:.1f} x {:.1f} mm) belong to "
                     "holes, fittings or brackets and were left out",
                     faces_text(scan, features), size.x(), size.y(), size.z()),
         "",
         "",
         {{"faces_count", static_cast<double>(features.size())}}});
  }
}

void report_fit(const Scan& scan, const Tube& tube, const StepReading& reading,
                std::vector<Finding>& findings) {
  const auto fitted_count = static_cast<std::size_t>(std::count_if(
      tube.skin_faces.begin(), tube.skin_faces.end(),
      [&](std::size_t face) { return scan.faces[face].fitted && scan.faces[face].piece <= 1; }));
  findings.push_back(
      {Severity::kNote,
       "step.recognised",
       std::nullopt,
       fmt::format("{} {}, {}, developed length {:.3f} mm, from {}; points on the skin lie up to "
                   "{:.2g} mm off the recovered tube ({:.2g} mm rms)",
                   tube.round ? "round" : "rectangular", reading.section.text(),
                   plural(reading.table.num_bends(), "bend", "bends"),
                   reading.table.developed_length_mm(),
                   plural(tube.bodies.size(), "body", "bodies"), reading.deviation_max_mm,
                   reading.deviation_rms_mm),
       "",
       "",
       {{"deviation_max_mm", reading.deviation_max_mm},
        {"deviation_rms_mm", reading.deviation_rms_mm}}});
  if (fitted_count > 0) {
    findings.push_back({Severity::kNote,
                        "step.free-form",
                        std::nullopt,
                        fmt::format("{} given as free-form and recognised by "
                                    "fitting",
                                    plural(fitted_count, "face was", "faces were")),
                        "",
                        "",
                        {{"faces_count", static_cast<double>(fitted_count)}}});
  }
  if (reading.deviation_max_mm > kPoorFit_mm) {
    findings.push_back({Severity::kCaution,
                        "step.deviation",
                        std::nullopt,
                        fmt::format("the file's skin lies up to {:.3f} mm off the recovered tube",
                                    reading.deviation_max_mm),
                        "check the table against the drawing",
                        "",
                        {{"deviation_max_mm", reading.deviation_max_mm}}});
  }
}

// Surfaces that close no body, in however many shells, are one thing: the skin of a tube comes as
// one shell or as a face for each of its pieces.
void join_loose_surfaces(Scan& scan) {
  std::optional<std::size_t> first;
  std::vector<ScanBody> bodies;
  for (ScanBody& body : scan.bodies) {
    if (body.solid || !first) {
      if (!body.solid) first = bodies.size();
      bodies.push_back(std::move(body));
      continue;
    }
    std::vector<std::size_t>& faces = bodies[*first].faces;
    faces.insert(faces.end(), body.faces.begin(), body.faces.end());
  }
  scan.bodies = std::move(bodies);
  for (std::size_t i = 0; i < scan.bodies.size(); ++i) {
    for (const std::size_t face : scan.bodies[i].faces) scan.faces[face].body = i;
  }
}

void report_skin_only(const StepReading& reading, std::vector<Finding>& findings) {
  findings.push_back(
      {Severity::kCaution,
       "step.skin-only",
       std::nullopt,
       fmt::format("the file holds the outer surface of {} and no body, so it does "
                   "not say whether this is tube or bar, nor which wall",
                   reading.section.round()
                       ? fmt::format("{:.3f} mm diameter", reading.section.height_mm())
                       : fmt::format("{:.3f} x {:.3f} mm", reading.section.height_mm(),
                                     reading.section.width_mm())),
       "give the wall with --wall, or the whole size with --size",
       "",
       {}});
}

}  // namespace

base::Result<StepReading> recover(Scan scan, bool swap_ends) {
  join_loose_surfaces(scan);
  recognise_free_faces(scan);
  split_long_faces(scan);
  std::vector<std::string> others;
  std::optional<Tube> tube = find_round_tube(scan, &others);
  if (auto rect = find_rect_tube(scan); rect && (!tube || rect->length_mm > tube->length_mm)) {
    tube = std::move(rect);
    others.clear();
  }
  if (!tube) return not_a_tube(scan);
  std::vector<Finding> findings = tube->findings;
  const Shape shape = fitted(*tube);
  const Deviation off = deviation(shape.table, shape.start, shape.outlines, tube->points);
  auto section = section_of(*tube, shape.outlines, off.rms_mm, findings);
  if (!section.ok()) {
    return Failure{"step.section", "",
                   "the tube found has no possible section: " + section.failure().message,
                   "check the model"};
  }
  std::vector<Finding> at_ends[2];
  EndLook looks[2] = {judge_end(scan, *tube, shape, false, at_ends[0]),
                      judge_end(scan, *tube, shape, true, at_ends[1])};
  Trimmed cut = trimmed(shape.table, shape.start, looks[0].beyond_mm, looks[1].beyond_mm);
  const geometry::Centreline line = geometry::lay_out(cut.table, cut.start);
  const std::array<double, 2> span_mm = {looks[0].end.longest_mm - looks[0].end.shortest_mm,
                                         looks[1].end.longest_mm - looks[1].end.shortest_mm};
  const std::vector<std::size_t> features =
      features_of(scan, *tube, line, span_mm, half_size_mm(shape.outlines[0]));
  if (second_is_a(line.start_mm(), line.end_mm()) != swap_ends) {
    if (!tube->round && odd_quarter_turns(cut.table)) section = section->turned();
    cut = from_other_end(cut.table, cut.start);
    std::swap(looks[0], looks[1]);
  }
  StepReading reading{.section = *section,
                      .table = cut.table,
                      .start = cut.start,
                      .end_a = looks[0].end,
                      .end_b = looks[1].end,
                      .deviation_max_mm = off.max_mm,
                      .deviation_rms_mm = off.rms_mm,
                      .num_sampled = tube->points.size(),
                      .name = scan.name,
                      .unit = scan.unit,
                      .schema = scan.schema};
  reading.skin_only = !tube->hollow && !scan.bodies[tube->bodies.front()].solid;
  report_fit(scan, *tube, reading, reading.findings);
  if (reading.skin_only) report_skin_only(reading, reading.findings);
  for (const std::vector<Finding>* more : {&findings, &at_ends[0], &at_ends[1]}) {
    reading.findings.insert(reading.findings.end(), more->begin(), more->end());
  }
  for (int k = 0; k < 2; ++k) {
    if (looks[k].end.cut == EndCut::kSquare && !looks[k].notched) continue;
    std::string message = end_text(k == 0 ? "A" : "B", looks[k].end);
    if (looks[k].notched) message += ", with pieces missing";
    reading.findings.push_back(
        {looks[k].end.cut == EndCut::kCoped ? Severity::kCaution : Severity::kNote,
         "step.end",
         std::nullopt,
         message,
         "",
         "",
         {{"mitre_deg", looks[k].end.mitre.deg()},
          {"longest_mm", looks[k].end.longest_mm},
          {"shortest_mm", looks[k].end.shortest_mm}}});
  }
  report_ignored(scan, *tube, others, features, reading.findings);
  return reading;
}

}  // namespace bight::reader
