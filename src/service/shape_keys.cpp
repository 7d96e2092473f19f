#include "service/shape_keys.h"

namespace bight::service {

namespace {

const ShapeKey kRadius{"radius", "length", true, "centreline radius of every bend"};
const ShapeKey kAngle{"angle", "angle", true, "bend angle"};
const ShapeKey kLead{"lead", "length", true, "end A to the first corner"};
const ShapeKey kTail{"tail", "length", false, "last corner to end B; or run"};
const ShapeKey kRun{"run", "length", false, "end A to end B along the first straight; or tail"};

std::vector<ShapeForm> plain_forms() {
  return {
      {"u",
       "U",
       {kRadius,
        {"width", "length", true, "leg to leg"},
        {"leg", "length", false, "both legs, where they are alike"},
        {"leg_a", "length", false, "leg at end A"},
        {"leg_b", "length", false, "leg at end B"}}},
      {"hoop",
       "Hoop",
       {kRadius,
        {"base", "length", true, "foot to foot"},
        {"top", "length", true, "width at the top"},
        {"height", "length", true, "foot to top"},
        {"upright", "length", false, "straight up from each foot before it leans in"}}},
      {"arc",
       "Single bend",
       {kRadius,
        {"lead", "length", false, "straight before"},
        kAngle,
        {"tail", "length", false, "straight behind"}}},
      {"offset",
       "Offset",
       {kRadius, kLead, {"rise", "length", true, "how far it steps aside"}, kAngle, kTail, kRun}},
      {"rolling-offset",
       "Rolling offset",
       {kRadius,
        kLead,
        {"set", "length", true, "how far it rises"},
        {"roll", "length", true, "how far it goes aside"},
        kAngle,
        kTail,
        kRun}},
      {"double-offset",
       "Double offset",
       {kRadius,
        kLead,
        {"first_rise", "length", true, "step of the first offset"},
        {"first_angle", "angle", true, "its bend angle"},
        {"between", "length", true, "between the offsets"},
        {"second_rise", "length", true, "step of the second offset"},
        {"second_angle", "angle", true, "its bend angle"},
        {"second_roll", "angle", false, "turn of its plane from the first"},
        {"tail", "length", true, "last corner to end B"}}},
  };
}

std::vector<ShapeForm> site_forms() {
  return {
      {"saddle-3",
       "Saddle of three bends",
       {kRadius,
        {"centre", "length", true, "end A to the middle of what is crossed"},
        {"run", "length", true, "end A to end B"},
        {"depth", "length", true, "height of what is crossed"},
        {"angle", "angle", true, "of the outer bends"}}},
      {"saddle-4",
       "Saddle of four bends",
       {kRadius,
        {"centre", "length", true, "end A to the middle of what is crossed"},
        {"run", "length", true, "end A to end B"},
        {"depth", "length", true, "height of what is crossed"},
        {"top", "length", true, "width of what is crossed"},
        kAngle}},
      {"kick",
       "Kick",
       {kRadius, kLead, {"rise", "length", true, "height of the raised end"}, kAngle}},
      {"stub-up",
       "Stub-up",
       {kRadius,
        {"stub", "length", true, "height of the stub, to the back"},
        {"far", "length", true, "length of the other leg, to the back"},
        {"take_up", "length", false, "take-up written on the bender"}}},
      {"back-to-back",
       "Back to back",
       {kRadius,
        {"back_to_back", "length", true, "between the backs of the stubs"},
        {"stub_a", "length", true, "stub at end A"},
        {"stub_b", "length", true, "stub at end B"}}},
      {"handrail-return",
       "Handrail with return",
       {kRadius,
        {"rail", "length", true, "length of the rail"},
        {"return", "length", true, "rail to wall or down the post"},
        {"to", "choice", false, "where it returns to", {"wall", "post"}},
        {"back", "length", false, "back along the post"},
        {"both_ends", "flag", false, "a return at both ends"}}},
      {"stair-turn",
       "Stair turn",
       {kRadius,
        {"before", "length", true, "rail before the turn"},
        {"after", "length", true, "rail after the turn"},
        {"pitch_before", "angle", true, "pitch before"},
        {"pitch_after", "angle", true, "pitch after"},
        {"plan_turn", "angle", true, "turn seen from above"}}},
      {"hairpin",
       "Hairpins",
       {kRadius,
        {"returns", "whole", false, "number of U bends"},
        {"pass", "length", false, "straight between U bends"},
        {"lead", "length", true, "first straight"},
        {"tail", "length", true, "last straight"},
        {"spacing", "length", true, "pass to pass"}}},
      {"helix",
       "Helix",
       {{"radius", "length", true, "radius of the coil"},
        {"pitch", "length", false, "rise per turn"},
        {"turns", "number", false, "number of turns"},
        {"handed", "choice", false, "which way it winds", {"right", "left"}},
        {"arcs_per_turn", "whole", false, "bends that make up one turn"},
        {"lead", "length", false, "straight before"},
        {"tail", "length", false, "straight behind"}}},
  };
}

}  // namespace

const std::vector<ShapeForm>& shape_forms() {
  static const std::vector<ShapeForm> kForms = [] {
    std::vector<ShapeForm> all = plain_forms();
    for (ShapeForm& form : site_forms()) all.push_back(std::move(form));
    return all;
  }();
  return kForms;
}

}  // namespace bight::service
