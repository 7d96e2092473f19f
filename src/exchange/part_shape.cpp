#include "exchange/part_shape.h"

#include <fmt/format.h>

#include <array>

namespace bight::exchange {

using base::Result;
using geometry::DrawnTo;
using geometry::Shape;

namespace {

using Reader = Result<Shape> (*)(Fields&, const DrawnTo&);

Result<Shape> read_u(Fields& f, const DrawnTo& drawn) {
  const double leg_mm = f.length_mm("leg").value_or(0.0);
  return geometry::make_u({f.need_length_mm("width"), f.length_mm("leg_a").value_or(leg_mm),
                           f.length_mm("leg_b").value_or(leg_mm), f.need_length_mm("radius"),
                           drawn});
}

Result<Shape> read_hoop(Fields& f, const DrawnTo& drawn) {
  return geometry::make_hoop({f.need_length_mm("base"), f.need_length_mm("top"),
                              f.need_length_mm("height"), f.length_mm("upright").value_or(0.0),
                              f.need_length_mm("radius"), drawn});
}

Result<Shape> read_arc(Fields& f, const DrawnTo&) {
  return geometry::make_arc({f.length_mm("lead").value_or(0.0), f.need_angle("angle"),
                             f.need_length_mm("radius"), f.length_mm("tail").value_or(0.0)});
}

Result<Shape> read_offset(Fields& f, const DrawnTo&) {
  return geometry::make_offset({f.need_length_mm("lead"), f.need_length_mm("rise"),
                                f.need_angle("angle"), f.length_mm("tail"), f.length_mm("run"),
                                f.need_length_mm("radius")});
}

Result<Shape> read_rolling_offset(Fields& f, const DrawnTo&) {
  return geometry::make_rolling_offset(
      {f.need_length_mm("lead"), f.need_length_mm("set"), f.need_length_mm("roll"),
       f.need_angle("angle"), f.length_mm("tail"), f.length_mm("run"), f.need_length_mm("radius")});
}

Result<Shape> read_double_offset(Fields& f, const DrawnTo&) {
  return geometry::make_double_offset(
      {f.need_length_mm("lead"), f.need_length_mm("first_rise"), f.need_angle("first_angle"),
       f.need_length_mm("between"), f.need_length_mm("second_rise"), f.need_angle("second_angle"),
       f.angle("second_roll").value_or(base::Angle()), f.need_length_mm("tail"),
       f.need_length_mm("radius")});
}

Result<Shape> read_saddle3(Fields& f, const DrawnTo&) {
  return geometry::make_saddle3({f.need_length_mm("centre"), f.need_length_mm("run"),
                                 f.need_length_mm("depth"), f.need_angle("angle"),
                                 f.need_length_mm("radius")});
}

Result<Shape> read_saddle4(Fields& f, const DrawnTo&) {
  return geometry::make_saddle4({f.need_length_mm("centre"), f.need_length_mm("run"),
                                 f.need_length_mm("depth"), f.need_length_mm("top"),
                                 f.need_angle("angle"), f.need_length_mm("radius")});
}

Result<Shape> read_kick(Fields& f, const DrawnTo&) {
  return geometry::make_kick({f.need_length_mm("lead"), f.need_length_mm("rise"),
                              f.need_angle("angle"), f.need_length_mm("radius")});
}

Result<Shape> read_stub_up(Fields& f, const DrawnTo& drawn) {
  return geometry::make_stub_up({f.need_length_mm("stub"), f.need_length_mm("far"),
                                 f.need_length_mm("radius"), drawn.size_mm,
                                 f.length_mm("take_up")});
}

Result<Shape> read_back_to_back(Fields& f, const DrawnTo& drawn) {
  return geometry::make_back_to_back({f.need_length_mm("back_to_back"), f.need_length_mm("stub_a"),
                                      f.need_length_mm("stub_b"), f.need_length_mm("radius"),
                                      drawn.size_mm});
}

Result<Shape> read_handrail_return(Fields& f, const DrawnTo&) {
  using Rail = geometry::HandrailReturnShape;
  Rail rail;
  rail.kind = static_cast<Rail::Kind>(f.choice("to", {"wall", "post"}).value_or(0));
  rail.rail_mm = f.need_length_mm("rail");
  rail.return_mm = f.need_length_mm("return");
  rail.back_mm = f.length_mm("back").value_or(0.0);
  rail.both_ends = f.flag("both_ends").value_or(false);
  rail.radius_mm = f.need_length_mm("radius");
  return geometry::make_handrail_return(rail);
}

Result<Shape> read_stair_turn(Fields& f, const DrawnTo&) {
  return geometry::make_stair_turn({f.need_length_mm("before"), f.need_length_mm("after"),
                                    f.need_angle("pitch_before"), f.need_angle("pitch_after"),
                                    f.need_angle("plan_turn"), f.need_length_mm("radius")});
}

Result<Shape> read_hairpin(Fields& f, const DrawnTo& drawn) {
  return geometry::make_hairpin({static_cast<int>(f.whole("returns").value_or(1)),
                                 f.length_mm("pass").value_or(0.0), f.need_length_mm("lead"),
                                 f.need_length_mm("tail"), f.need_length_mm("spacing"),
                                 f.need_length_mm("radius"), drawn});
}

Result<Shape> read_helix(Fields& f, const DrawnTo& drawn) {
  geometry::HelixShape helix;
  helix.radius_mm = f.need_length_mm("radius");
  helix.pitch_mm = f.length_mm("pitch").value_or(0.0);
  helix.turns_ratio = f.number("turns").value_or(1.0);
  helix.left_handed = f.choice("handed", {"right", "left"}).value_or(0) == 1;
  helix.arcs_per_turn = static_cast<int>(f.whole("arcs_per_turn").value_or(24));
  helix.lead_mm = f.length_mm("lead").value_or(0.0);
  helix.tail_mm = f.length_mm("tail").value_or(0.0);
  helix.drawn = drawn;
  return geometry::make_helix(helix);
}

struct Entry {
  std::string_view word;
  Reader read;
};

constexpr std::array<Entry, 15> kShapes = {{{"u", read_u},
                                            {"hoop", read_hoop},
                                            {"arc", read_arc},
                                            {"offset", read_offset},
                                            {"rolling-offset", read_rolling_offset},
                                            {"double-offset", read_double_offset},
                                            {"saddle-3", read_saddle3},
                                            {"saddle-4", read_saddle4},
                                            {"kick", read_kick},
                                            {"stub-up", read_stub_up},
                                            {"back-to-back", read_back_to_back},
                                            {"handrail-return", read_handrail_return},
                                            {"stair-turn", read_stair_turn},
                                            {"hairpin", read_hairpin},
                                            {"helix", read_helix}}};

}  // namespace

std::vector<std::string_view> shape_words() {
  std::vector<std::string_view> words;
  for (const Entry& entry : kShapes) words.push_back(entry.word);
  return words;
}

Result<Shape> read_shape(Fields& line, geometry::Face drawn_to, double size_mm) {
  const std::size_t index = line.choice("shape", shape_words()).value_or(0);
  BIGHT_TRY(base::Done word_read, line.status());
  static_cast<void>(word_read);
  Result<Shape> shape = kShapes[index].read(line, {drawn_to, size_mm});
  // A missing or misspelt key says more than the dimension it left at zero.
  BIGHT_TRY(base::Done keys_read, line.status());
  static_cast<void>(keys_read);
  if (!shape.ok()) {
    base::Failure failure = shape.failure();
    failure.where = line.where("shape") + (failure.where.empty() ? "" : ", " + failure.where);
    return failure;
  }
  return shape;
}

}  // namespace bight::exchange
