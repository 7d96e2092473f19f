#include "clearance/surroundings.h"

#include "clearance/station.h"

namespace bight::clearance {

using workshop::BenderKind;
using workshop::Body;
using workshop::CarriedBy;

namespace {

// The die is as high as its groove and a lip on either side (common practice, no source).
constexpr double kLip_mm = 10.0;

void name_what_is_not_checked(Prepared& p) {
  std::vector<std::string>& out = p.not_checked;
  const workshop::Surroundings& around = p.bender.around;
  if (p.bender.kind == BenderKind::kThreeRoll) {
    out.push_back(
        "a three-roll bender rolls without steps: whether the ring can be taken off, and "
        "what the growing coil meets, is not checked");
    return;
  }
  if (around.bodies.empty()) {
    out.push_back(
        "the bodies of this bender are not described: only its dies and the room were "
        "compared");
  }
  if (!around.room.floor_mm.has_value()) out.push_back("the height above the floor is not known");
  bool stacked = false;
  for (const workshop::DieSet& die : p.dies) stacked = stacked || die.level > 1;
  if (stacked && around.levels_mm.empty()) {
    out.push_back(
        "the heights of the stack are not known: every die was taken to be at the lowest");
  }
  bool beyond_u = false;
  for (const TubeBend& bend : p.tube.bends) beyond_u = beyond_u || bend.angle.deg() > 180.0;
  if (beyond_u) out.push_back("a bend beyond 180° must be sprung off its die: that is not checked");
  if (p.bender.kind == BenderKind::kCarriageFed) {
    out.push_back("how the straight tube is threaded in is not checked");
  }
  out.push_back("sag of long legs is left out");
}

bool only_named(const Body& body) {
  const auto* mesh = std::get_if<workshop::MeshShape>(&body.shape);
  return mesh != nullptr && !mesh->file.empty() && mesh->triangles.empty();
}

base::Status add_bodies(Prepared& p) {
  for (const Body& body : p.bender.around.bodies) {
    if (only_named(body)) {
      p.not_checked.push_back("the mesh of the body \"" + body.name + "\" has not been read");
      continue;
    }
    if (body.on == CarriedBy::kClamp || body.on == CarriedBy::kPressureDie) {
      for (std::size_t die = 0; die < p.dies.size(); ++die) {
        const Station at = station(p.setup, die, p.dies[die].radius_mm);
        Obstacles& into =
            body.on == CarriedBy::kClamp ? p.around[die].clamp : p.around[die].pressure_die;
        BIGHT_TRY(const base::Done done, add_body(into, body, at.tangent.origin_mm));
        static_cast<void>(done);
      }
      continue;
    }
    Obstacles& into = body.on == CarriedBy::kArm        ? p.arm
                      : body.on == CarriedBy::kCarriage ? p.carriage
                                                        : p.still;
    BIGHT_TRY(const base::Done done, add_body(into, body));
    static_cast<void>(done);
  }
  return base::Done{};
}

}  // namespace

double die_height_mm(const workshop::DieSet& die) { return die.groove.width_mm + 2.0 * kLip_mm; }

base::Result<std::shared_ptr<const Prepared>> prepare(const Setup& setup, const Tube& tube) {
  BIGHT_TRY(const base::Done sound, tube.valid());
  static_cast<void>(sound);
  if (setup.bender == nullptr || setup.mounted.empty()) {
    return base::Failure{"clearance.die", "", "no die is mounted", "name the die sets used"};
  }
  auto p = std::make_shared<Prepared>();
  p->bender = *setup.bender;
  for (const workshop::DieSet* die : setup.mounted) p->dies.push_back(*die);
  p->setup.bender = &p->bender;
  for (const workshop::DieSet& die : p->dies) p->setup.mounted.push_back(&die);
  p->tube = tube;
  p->around.resize(p->dies.size());
  add_room(p->still, p->bender.around.room);
  BIGHT_TRY(const base::Done done, add_bodies(*p));
  static_cast<void>(done);
  for (const workshop::DieSet& die : p->dies) {
    BIGHT_TRY(const double at_mm, level_mm(p->setup, die));
    p->discs.push_back(die_disc("die " + die.name, die.radius_mm, die_height_mm(die), at_mm));
  }
  name_what_is_not_checked(*p);
  return std::shared_ptr<const Prepared>(std::move(p));
}

}  // namespace bight::clearance
