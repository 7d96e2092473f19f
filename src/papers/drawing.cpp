#include "papers/drawing.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "papers/labels.h"
#include "papers/pose.h"
#include "papers/tube_view.h"

namespace bight::papers {

using geometry::Vec3;

namespace {

constexpr double kOutline_mm = 0.4;  // at most
constexpr double kHair_mm = 0.15;
constexpr double kBody_ratio = 0.9;  // shade of the tube
constexpr double kLabel_pt = 9.0;
constexpr double kLabelHalf_mm = 2.5;

// From the view's millimetres of part to millimetres of paper.
struct BodyOnPaper {
  double scale_ratio;
  Point shift;

  Point operator()(ViewPoint p) const {
    return {shift.x_mm + scale_ratio * p.x_mm, shift.y_mm - scale_ratio * p.y_mm};
  }
  std::vector<Point> operator()(const std::vector<ViewPoint>& line) const {
    std::vector<Point> placed;
    for (const ViewPoint& p : line) placed.push_back((*this)(p));
    return placed;
  }
};

// Convex outline, anticlockwise in the view (Andrew 1979, monotone chain).
std::vector<ViewPoint> hull(std::vector<ViewPoint> points) {
  std::sort(points.begin(), points.end(), [](const ViewPoint& a, const ViewPoint& b) {
    return a.x_mm != b.x_mm ? a.x_mm < b.x_mm : a.y_mm < b.y_mm;
  });
  std::vector<ViewPoint> chain;
  for (int pass = 0; pass < 2; ++pass) {
    const std::size_t base = chain.size();
    for (const ViewPoint& p : points) {
      while (chain.size() >= base + 2) {
        const ViewPoint& a = chain[chain.size() - 2];
        const ViewPoint& b = chain.back();
        const double cross =
            (b.x_mm - a.x_mm) * (p.y_mm - a.y_mm) - (b.y_mm - a.y_mm) * (p.x_mm - a.x_mm);
        if (cross > 0.0) break;
        chain.pop_back();
      }
      chain.push_back(p);
    }
    chain.pop_back();
    std::reverse(points.begin(), points.end());
  }
  return chain;
}

// Where the section's skin is, all round, at one station.
std::vector<ViewPoint> rim_seen(const Tube& tube, const Tube::Station& at, const Eye& eye) {
  constexpr int kParts = 16;
  const double half_height_mm = tube.section().height_mm() / 2.0;
  const double half_width_mm = tube.section().width_mm() / 2.0;
  std::vector<ViewPoint> rim;
  if (!tube.section().round()) {
    for (const double su : {-1.0, 1.0}) {
      for (const double sv : {-1.0, 1.0}) {
        rim.push_back(eye.seen(at.p_mm + su * half_height_mm * at.u + sv * half_width_mm * at.v));
      }
    }
    return rim;
  }
  for (int k = 0; k < kParts; ++k) {
    const base::Angle a = base::Angle::degrees(360.0 * k / kParts);
    rim.push_back(eye.seen(at.p_mm + half_height_mm * (at.u * base::cos(a) + at.v * base::sin(a))));
  }
  return rim;
}

void fill_body(Canvas& canvas, const Tube& tube, const Eye& eye, const BodyOnPaper& on_paper) {
  const Tube coarse(tube.line(), tube.section(), base::Angle::degrees(6));
  std::vector<std::vector<Point>> pieces;
  const auto& stations = coarse.stations();
  std::vector<ViewPoint> before = rim_seen(coarse, stations.front(), eye);
  for (std::size_t i = 1; i < stations.size(); ++i) {
    std::vector<ViewPoint> after = rim_seen(coarse, stations[i], eye);
    std::vector<ViewPoint> both = before;
    both.insert(both.end(), after.begin(), after.end());
    pieces.push_back(on_paper(hull(std::move(both))));
    before = std::move(after);
  }
  canvas.fill_union(pieces, kBody_ratio);
}

void draw_body(Canvas& canvas, const Tube& tube, const Eye& eye, const BodyOnPaper& on_paper) {
  fill_body(canvas, tube, eye, on_paper);
  const TubeLines lines = seen_lines(tube, eye, 0.3 / on_paper.scale_ratio);
  for (const auto& bore : lines.bores) canvas.fill(on_paper(bore), 0.55);
  for (const auto& line : lines.centreline) {
    canvas.stroke(on_paper(line), false, {kHair_mm, 0.0, Dash::kCentreline});
  }
  // A tube drawn small keeps light between its two outlines.
  const double smaller_mm = std::min(tube.section().height_mm(), tube.section().width_mm());
  const double pen_mm = std::clamp(0.15 * smaller_mm * on_paper.scale_ratio, 0.18, kOutline_mm);
  for (const auto& line : lines.outlines) canvas.stroke(on_paper(line), false, {pen_mm});
}

void draw_number(Canvas& canvas, Point middle, const std::string& text, bool square) {
  const double half_mm = kLabelHalf_mm;
  if (square) {
    const std::vector<Point> frame{{middle.x_mm - half_mm, middle.y_mm - half_mm},
                                   {middle.x_mm + half_mm, middle.y_mm - half_mm},
                                   {middle.x_mm + half_mm, middle.y_mm + half_mm},
                                   {middle.x_mm - half_mm, middle.y_mm + half_mm}};
    canvas.fill(frame, 0.0);
  } else {
    canvas.circle(middle, half_mm, Pen{0.3}, 1.0);
  }
  const double baseline_up_mm =
      (kFirstBaseline_ratio - kCapHeight_ratio / 2.0) * kLabel_pt * kMmPerPoint;
  canvas.text({middle.x_mm, middle.y_mm - baseline_up_mm}, text,
              {kLabel_pt, true, Align::kCentre, 0.0, square ? 1.0 : 0.0});
}

// Ends carry a letter in a square, bends a number in a ring.
void label(Canvas& canvas, LabelRoom& room, LabelWish wish, double tube_half_mm,
           const std::string& text, bool square, bool insist) {
  wish.half_width_mm = wish.half_height_mm = kLabelHalf_mm;
  wish.nearest_mm = (square ? 0.0 : tube_half_mm) + kLabelHalf_mm + 0.8;
  wish.farthest_mm = wish.nearest_mm + tube_half_mm + (insist ? 30.0 : 12.0);
  const std::optional<Point> place = room.place(wish);
  if (!place) return;
  const double dx_mm = place->x_mm - wish.target.x_mm;
  const double dy_mm = place->y_mm - wish.target.y_mm;
  const double away_mm = std::hypot(dx_mm, dy_mm);
  if (away_mm > wish.nearest_mm + 2.0) {
    const double reach_ratio = square ? 0.0 : std::min(1.0, tube_half_mm * 0.6 / away_mm);
    const std::vector<Point> leader{
        {wish.target.x_mm + reach_ratio * dx_mm, wish.target.y_mm + reach_ratio * dy_mm}, *place};
    canvas.stroke(leader, false, {kHair_mm});
    canvas.circle(leader.front(), 0.45, std::nullopt, 0.0);
  }
  draw_number(canvas, *place, text, square);
}

// The middle of the bend in the view, and the way out of it.
LabelWish bend_wish(const geometry::Segment& bend, const Eye& eye, const BodyOnPaper& on_paper) {
  const geometry::Frame middle = bend.at(bend.length_mm / 2.0);
  const ViewPoint out = eye.seen(-middle.inward);
  LabelWish wish;
  wish.target = on_paper(eye.seen(middle.origin_mm));
  wish.direction_x_ratio = out.x_mm;
  wish.direction_y_ratio = -out.y_mm;
  if (std::hypot(out.x_mm, out.y_mm) < 1e-6) wish.direction_y_ratio = -1.0;
  return wish;
}

LabelWish end_wish(const Vec3& end_mm, const Vec3& outward, const Eye& eye,
                   const BodyOnPaper& on_paper) {
  const ViewPoint out = eye.seen(outward);
  LabelWish wish;
  wish.target = on_paper(eye.seen(end_mm));
  wish.direction_x_ratio = out.x_mm;
  wish.direction_y_ratio = -out.y_mm;
  if (std::hypot(out.x_mm, out.y_mm) < 1e-6) wish.direction_x_ratio = -1.0;
  return wish;
}

void draw_labels(Canvas& canvas, const Tube& tube, const Eye& eye, const BodyOnPaper& on_paper,
                 LabelRoom& room, bool insist, const std::vector<std::size_t>& numbers) {
  const double tube_half_mm = tube.half_size_mm() * on_paper.scale_ratio;
  // The discs that keep the tube clear would reach over a flat end seen from the side by half its
  // size, so the line they stand on stops short of it.
  std::vector<ViewPoint> middle;
  const auto& stations = tube.stations();
  for (const Tube::Station& at : stations) middle.push_back(eye.seen(at.p_mm));
  const auto drawn_back = [&](const Tube::Station& end, const Tube::Station& next, double way) {
    const double room_mm = 0.9 * (next.p_mm - end.p_mm).norm();
    // At an angle a from the eye the open end reaches r cos a past its middle and shows r sin a of
    // the length: r tan(a/2) back, a disc of r covers just the end.
    const double cosine = std::abs(end.ahead.dot(eye.toward));
    const double sine = end.ahead.cross(eye.toward).norm();
    const double back_mm = std::min(tube.half_size_mm() * sine / (1.0 + cosine), room_mm);
    return eye.seen(end.p_mm + way * back_mm * end.ahead);
  };
  middle.front() = drawn_back(stations.front(), stations[1], 1.0);
  middle.back() = drawn_back(stations.back(), stations[stations.size() - 2], -1.0);
  room.keep_clear(on_paper(middle), tube_half_mm + kOutline_mm);

  const geometry::Centreline& line = tube.line();
  const Vec3 a_outward = -line.segments.front().start.ahead;
  label(canvas, room, end_wish(line.start_mm(), a_outward, eye, on_paper), tube_half_mm, "A", true,
        insist);
  label(canvas, room, end_wish(line.end_mm(), line.end.ahead, eye, on_paper), tube_half_mm, "B",
        true, insist);
  for (std::size_t i = 0; i < line.segments.size() / 2; ++i) {
    label(canvas, room, bend_wish(line.bend(i), eye, on_paper), tube_half_mm,
          std::to_string(numbers[i]), false, insist);
  }
}

// All bends of the part, counted from one.
std::vector<std::size_t> from_one(const Tube& tube) {
  std::vector<std::size_t> out(tube.line().segments.size() / 2);
  for (std::size_t i = 0; i < out.size(); ++i) out[i] = i + 1;
  return out;
}

void tick(Canvas& canvas, Point at) {
  const std::vector<Point> slash{{at.x_mm - 0.9, at.y_mm + 0.9}, {at.x_mm + 0.9, at.y_mm - 0.9}};
  canvas.stroke(slash, false, {0.35});
}

// Overall sizes below and to the right of the part.
void draw_sizes(Canvas& canvas, const Box& cell, const Box& part, double width_mm, double height_mm,
                const Wording& wording, LabelRoom& room) {
  const TextStyle style{kLabel_pt, false, Align::kCentre};
  const double line_mm = kLabel_pt * kMmPerPoint * kLinePitch_ratio;
  const double y_mm = part.bottom_mm() + 3.0;
  const std::vector<Point> below{{part.x_mm, y_mm}, {part.right_mm(), y_mm}};
  const std::string width = wording.length(width_mm);
  const TextSize width_size = canvas.measure(width, style);
  canvas.stroke(below, false, {kHair_mm});
  for (const Point& end : below) {
    canvas.stroke(std::vector<Point>{{end.x_mm, part.bottom_mm() + 0.8}, {end.x_mm, y_mm + 1.0}},
                  false, {kHair_mm});
    tick(canvas, end);
  }
  const double middle_mm = part.centre().x_mm;
  const bool narrow = part.width_mm < width_size.width_mm + 1.0;
  canvas.text({middle_mm, y_mm + (narrow ? 0.9 : 0.3)}, width, style);
  // Nothing goes below or beside the sizes: a leader would have to cross them.
  const double reach_mm = std::max(part.width_mm + 2.0, width_size.width_mm) / 2.0;
  room.keep_clear(
      Box{middle_mm - reach_mm, part.bottom_mm() + 0.8, 2.0 * reach_mm, 12.0 + line_mm});

  const double x_mm = part.right_mm() + 3.0;
  const std::vector<Point> beside{{x_mm, part.y_mm}, {x_mm, part.bottom_mm()}};
  const std::string height = wording.length(height_mm);
  const TextSize height_size = canvas.measure(height, style);
  canvas.stroke(beside, false, {kHair_mm});
  for (const Point& end : beside) {
    canvas.stroke(std::vector<Point>{{part.right_mm() + 0.8, end.y_mm}, {x_mm + 1.0, end.y_mm}},
                  false, {kHair_mm});
    tick(canvas, end);
  }
  TextStyle upright = style;
  const double centre_y_mm = part.centre().y_mm;
  if (part.height_mm >= height_size.width_mm + 1.0) {
    upright.turn = base::Angle::degrees(90);
    canvas.text({x_mm + 0.6, centre_y_mm}, height, upright);
    room.keep_clear(
        Box{part.right_mm() + 0.8, part.y_mm - 1.0, 12.0 + line_mm, part.height_mm + 2.0});
  } else if (x_mm + 1.4 + height_size.width_mm > cell.right_mm() - 0.8) {
    // Neither along its line nor beside it: at the edge of the cell, over the line's upper end.
    upright.align = Align::kRight;
    const Point anchor{cell.right_mm() - 0.8, part.y_mm - line_mm - 0.8};
    canvas.text(anchor, height, upright);
    room.keep_clear(Box{anchor.x_mm - height_size.width_mm, anchor.y_mm, height_size.width_mm,
                        part.bottom_mm() - anchor.y_mm});
  } else {
    upright.align = Align::kLeft;
    canvas.text({x_mm + 1.4, centre_y_mm - line_mm / 2.0}, height, upright);
    const double tall_mm = std::max(part.height_mm + 2.0, line_mm);
    room.keep_clear(Box{part.right_mm() + 0.8, centre_y_mm - tall_mm / 2.0,
                        4.0 + height_size.width_mm, tall_mm});
  }
}

void draw_caption(Canvas& canvas, const Box& cell, const std::string& name, LabelRoom& room) {
  const TextStyle style{kLabel_pt, true, Align::kLeft, cell.width_mm - 2.0};
  const TextSize size = canvas.measure(name, style);
  const Point at{cell.x_mm + 1.2, cell.y_mm + 0.6};
  canvas.text(at, name, style);
  room.keep_clear(Box{at.x_mm, at.y_mm, size.width_mm, size.height_mm});
}

BodyOnPaper fitted(const Tube& tube, const ViewCell& cell, const CellMargins& margins,
                   std::optional<double> scale_ratio) {
  const Reach across = tube.reach(cell.eye.right);
  const Reach upward = tube.reach(cell.eye.up);
  const Box room{cell.box.x_mm + margins.left_mm, cell.box.y_mm + margins.top_mm,
                 cell.box.width_mm - margins.left_mm - margins.right_mm,
                 cell.box.height_mm - margins.top_mm - margins.bottom_mm};
  BodyOnPaper on_paper{};
  on_paper.scale_ratio = scale_ratio.value_or(std::max(
      1e-6, std::min(room.width_mm / across.size_mm(), room.height_mm / upward.size_mm())));
  on_paper.shift.x_mm =
      room.centre().x_mm - on_paper.scale_ratio * (across.least_mm + across.most_mm) / 2.0;
  on_paper.shift.y_mm =
      room.centre().y_mm + on_paper.scale_ratio * (upward.least_mm + upward.most_mm) / 2.0;
  return on_paper;
}

void draw_plain(Canvas& canvas, const Tube& tube, const ViewCell& cell, const CellMargins& margins,
                double scale_ratio, const std::string& name, const Wording& wording) {
  canvas.stroke(std::vector<Point>{{cell.box.x_mm, cell.box.y_mm},
                                   {cell.box.right_mm(), cell.box.y_mm},
                                   {cell.box.right_mm(), cell.box.bottom_mm()},
                                   {cell.box.x_mm, cell.box.bottom_mm()}},
                true, {kHair_mm});
  canvas.clip(cell.box);
  LabelRoom room(cell.box.inset(0.6));
  draw_caption(canvas, cell.box, name, room);
  const BodyOnPaper on_paper = fitted(tube, cell, margins, scale_ratio);
  const Reach across = tube.reach(cell.eye.right);
  const Reach upward = tube.reach(cell.eye.up);
  const Point top_left = on_paper({across.least_mm, upward.most_mm});
  const Box part{top_left.x_mm, top_left.y_mm, scale_ratio * across.size_mm(),
                 scale_ratio * upward.size_mm()};
  draw_body(canvas, tube, cell.eye, on_paper);
  draw_sizes(canvas, cell.box, part, across.size_mm(), upward.size_mm(), wording, room);
  draw_labels(canvas, tube, cell.eye, on_paper, room, false, from_one(tube));
  canvas.unclip();
}

}  // namespace

CellMargins view_margins(const Canvas& canvas, const stock::Section& section,
                         const Wording& wording) {
  CellMargins margins;
  // The least size is the one that has to stand level beside its line; the tube's own width is a
  // good guess at its length in print.
  const double least_mm = std::min(section.height_mm(), section.width_mm());
  const TextStyle sizes{kLabel_pt};
  margins.right_mm =
      std::max(margins.right_mm, canvas.measure(wording.length(least_mm), sizes).width_mm + 5.4);
  return margins;
}

void draw_views(Canvas& canvas, const Box& box, const geometry::BendTable& table,
                const stock::Section& section, const Wording& wording) {
  const Tube tube(geometry::lay_out(table), section);
  const CellMargins margins = view_margins(canvas, section, wording);
  const Arrangement views = arrange(tube, box, margins);
  const std::string scale = fmt::format("1:{:.4g}", 1.0 / views.scale_ratio);
  draw_plain(canvas, tube, views.above, margins, views.scale_ratio, "From above  " + scale,
             wording);
  draw_plain(canvas, tube, views.front, margins, views.scale_ratio, "From the front  " + scale,
             wording);
  draw_plain(canvas, tube, views.right, margins, views.scale_ratio, "From the right  " + scale,
             wording);

  canvas.clip(views.pictorial.box);
  LabelRoom room(views.pictorial.box.inset(0.6));
  draw_caption(canvas, views.pictorial.box, "The part (not to scale)", room);
  const CellMargins even{7.0, 7.0, 10.0, 7.0};
  const BodyOnPaper on_paper = fitted(tube, views.pictorial, even, std::nullopt);
  draw_body(canvas, tube, views.pictorial.eye, on_paper);
  draw_labels(canvas, tube, views.pictorial.eye, on_paper, room, true, from_one(tube));
  canvas.unclip();
}

void draw_made(Canvas& canvas, const Box& box, const geometry::BendTable& table,
               const stock::Section& section, const std::vector<std::size_t>& numbers) {
  const Tube tube(geometry::lay_out(table), section);
  const CellMargins even{7.0, 7.0, 7.0, 7.0};
  const bool flat = std::all_of(table.rows().begin(), table.rows().end(), [](const auto& row) {
    return std::abs(base::sin(row.rotation)) < 1e-3;
  });
  // Flat on the table its angles are seen as they are; else from where most of it is seen.
  const Eye eye = flat ? eye_from(Vec3::UnitZ(), Vec3::UnitY())
                       : arrange(tube, Box{0.0, 0.0, 190.0, 100.0}).pictorial.eye;
  const ViewCell cell{eye, box};
  canvas.clip(box);
  LabelRoom room(box.inset(0.3));
  const BodyOnPaper on_paper = fitted(tube, cell, even, std::nullopt);
  draw_body(canvas, tube, cell.eye, on_paper);
  draw_labels(canvas, tube, cell.eye, on_paper, room, true, numbers);
  canvas.unclip();
}

}  // namespace bight::papers
