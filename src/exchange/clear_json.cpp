#include "exchange/clear_json.h"

#include <algorithm>
#include <cmath>

#include "clearance/surroundings.h"
#include "exchange/json_numbers.h"

namespace bight::exchange {

using geometry::Vec3;
using nlohmann::ordered_json;

namespace {

// Places in a film to a micrometre: it is looked at, and there are many.
double seen(double value) {
  const double rounded = std::round(value * 1e3) / 1e3;
  return rounded == 0.0 ? 0.0 : rounded;
}

ordered_json seen_point(const Vec3& p_mm) {
  return {seen(p_mm.x()), seen(p_mm.y()), seen(p_mm.z())};
}

const char* letter(clearance::Front front) { return front == clearance::Front::kEndA ? "A" : "B"; }

ordered_json made_json(const clearance::Step& step, std::size_t num_bends) {
  ordered_json made = ordered_json::array();
  for (std::size_t i = 0; i < num_bends; ++i) {
    if (((step.made >> i) & 1u) != 0) made.push_back(i + 1);
  }
  return made;
}

ordered_json broken_limits_json(const std::vector<clearance::Limit>& limits) {
  ordered_json out = ordered_json::array();
  for (const clearance::Limit& limit : limits) {
    out.push_back({{"code", limit.code},
                   {"needed_mm", tidy(limit.needed_mm)},
                   {"allowed_mm", tidy(limit.allowed_mm)},
                   {"message", limit.message}});
  }
  return out;
}

// The nearer of machine and room, and the tube itself.
const std::optional<clearance::Nearest>& nearer(const clearance::StepClearance& found) {
  const bool itself = found.itself.has_value() &&
                      (!found.nearest.has_value() || found.itself->low_mm < found.nearest->low_mm);
  return itself ? found.itself : found.nearest;
}

}  // namespace

ordered_json nearest_json(const std::optional<clearance::Nearest>& nearest) {
  if (!nearest.has_value()) return nullptr;
  return {{"low_mm", tidy(nearest->low_mm)},
          {"high_mm", tidy(nearest->high_mm)},
          {"hit", nearest->hit()},
          {"body", nearest->body},
          {"keep_out", nearest->keep_out},
          {"stage", std::string(clearance::word(nearest->stage))},
          {"share", tidy(nearest->share_ratio)},
          {"angle_deg", tidy(nearest->angle.deg())},
          {"along_mm", tidy(nearest->along_mm)},
          {"on_tube_mm", point_json(nearest->on_tube_mm)},
          {"on_body_mm", point_json(nearest->on_body_mm)}};
}

ordered_json clear_json(const planning::Plan& plan, const planning::Clearing& clearing,
                        const std::vector<planning::StepAnswer>& answers) {
  ordered_json steps = ordered_json::array();
  bool stops = false;
  for (std::size_t k = 0; k < answers.size(); ++k) {
    const clearance::Step& step = clearing.steps[k];
    const planning::StepAnswer& answer = answers[k];
    stops = stops || answer.stops();
    steps.push_back({{"bend", step.bend + 1},
                     {"die", plan.steps[k].die},
                     {"front", letter(step.front)},
                     {"made", made_json(step, clearing.tube.bends.size())},
                     {"stops", answer.stops()},
                     {"hit", answer.clearance.hit()},
                     {"nearest", nearest_json(answer.clearance.nearest)},
                     {"itself", nearest_json(answer.clearance.itself)},
                     {"limits", broken_limits_json(answer.limits)}});
  }
  return {{"schema", 1},
          {"part",
           {{"name", plan.part.name},
            {"revision", plan.part.revision},
            {"hand", part::letters(plan.part.hand)}}},
          {"bender", clearing.bender.name},
          {"tube",
           {{"od_mm", tidy(clearing.tube.od_mm)}, {"length_mm", tidy(clearing.tube.length_mm)}}},
          {"stops", stops},
          {"steps", steps},
          {"not_checked", planning::not_checked(answers)}};
}

namespace {

ordered_json shape_json(const workshop::BoxShape& box) {
  return {{"box", {{"size_mm", point_json(box.size_mm)}}}};
}
ordered_json shape_json(const workshop::CylinderShape& cylinder) {
  return {{"cylinder",
           {{"radius_mm", tidy(cylinder.radius_mm)}, {"length_mm", tidy(cylinder.length_mm)}}}};
}
ordered_json shape_json(const workshop::OutlineShape& outline) {
  ordered_json points = ordered_json::array();
  for (const Eigen::Vector2d& p_mm : outline.outline_mm) {
    points.push_back({tidy(p_mm.x()), tidy(p_mm.y())});
  }
  return {{"outline", {{"points_mm", points}, {"height_mm", tidy(outline.height_mm)}}}};
}
ordered_json shape_json(const workshop::MeshShape& mesh) {
  ordered_json points = ordered_json::array();
  for (const Vec3& p_mm : mesh.points_mm) points.push_back(seen_point(p_mm));
  return {{"mesh", {{"points_mm", points}, {"triangles", mesh.triangles}}}};
}

ordered_json matrix_json(const Eigen::Isometry3d& pose) {
  ordered_json out = ordered_json::array();
  const Eigen::Matrix4d m = pose.matrix();
  for (Eigen::Index column = 0; column < 4; ++column) {
    for (Eigen::Index row = 0; row < 4; ++row) {
      // Directions keep more digits than places: they are multiplied by lengths.
      const double value = m(row, column);
      out.push_back(column < 3 ? tidy(value) : seen(value));
    }
  }
  return out;
}

ordered_json film_tube_json(const std::vector<geometry::Segment>& tube) {
  ordered_json out = ordered_json::array();
  for (const geometry::Segment& piece : tube) {
    if (!(piece.length_mm > 0.0)) continue;
    if (piece.is_arc()) {
      const Vec3 centre_mm = piece.start.origin_mm + piece.start.inward * piece.radius_mm;
      const Vec3& normal = piece.start.normal;
      out.push_back({{"arc",
                      {{"centre", seen_point(centre_mm)},
                       {"start", seen_point(piece.start.origin_mm)},
                       {"normal", point_json(normal)},
                       {"angle_deg", tidy(piece.angle.deg())}}}});
    } else {
      out.push_back({{"straight",
                      {{"a", seen_point(piece.start.origin_mm)},
                       {"b", seen_point(piece.at(piece.length_mm).origin_mm)}}}});
    }
  }
  return out;
}

ordered_json room_json(const workshop::Room& room) {
  const auto or_null = [](const std::optional<double>& mm) {
    return mm ? ordered_json(tidy(*mm)) : ordered_json(nullptr);
  };
  ordered_json walls = ordered_json::array();
  for (const workshop::Wall& wall : room.walls) {
    walls.push_back({{"name", wall.name},
                     {"direction_deg", tidy(wall.direction.deg())},
                     {"distance_mm", tidy(wall.distance_mm)}});
  }
  return {{"floor_mm", or_null(room.floor_mm)},
          {"ceiling_mm", or_null(room.ceiling_mm)},
          {"walls", walls}};
}

ordered_json bodies_json(const std::vector<workshop::Body>& bodies) {
  ordered_json out = ordered_json::array();
  for (const workshop::Body& body : bodies) {
    out.push_back(
        {{"name", body.name},
         {"on", std::string(word(body.on))},
         {"keep_out", body.keep_out},
         {"shape", std::visit([](const auto& shape) { return shape_json(shape); }, body.shape)}});
  }
  return out;
}

ordered_json film_moment_json(const clearance::Moment& moment) {
  ordered_json bodies = ordered_json::array();
  for (const Eigen::Isometry3d& pose : moment.bodies) bodies.push_back(matrix_json(pose));
  return {{"stage", std::string(clearance::word(moment.stage))},
          {"share", tidy(moment.share_ratio)},
          {"angle_deg", tidy(moment.angle.deg())},
          {"tube", film_tube_json(moment.tube)},
          {"bodies", bodies},
          {"die", matrix_json(moment.die)}};
}

ordered_json film_die_json(const workshop::DieSet& die) {
  return {{"radius_mm", tidy(die.radius_mm)}, {"height_mm", tidy(clearance::die_height_mm(die))}};
}

}  // namespace

base::Result<ordered_json> film_json(const planning::Clearing& clearing,
                                     const std::vector<planning::StepAnswer>& answers,
                                     const clearance::FilmOptions& options) {
  ordered_json steps = ordered_json::array();
  for (std::size_t k = 0; k < clearing.steps.size(); ++k) {
    BIGHT_TRY(const std::vector<clearance::Moment> film,
              clearance::movement(clearing.setup(k), clearing.tube, clearing.steps[k], options));
    ordered_json moments = ordered_json::array();
    for (const clearance::Moment& moment : film) moments.push_back(film_moment_json(moment));
    steps.push_back({{"bend", clearing.steps[k].bend + 1},
                     {"front", letter(clearing.steps[k].front)},
                     {"die", film_die_json(clearing.mounted[clearing.die_of_step[k]].front())},
                     {"nearest", nearest_json(nearer(answers[k].clearance))},
                     {"moments", std::move(moments)}});
  }
  const workshop::Surroundings& around = clearing.bender.around;
  return ordered_json{{"schema", 1},
                      {"bodies", bodies_json(around.bodies)},
                      {"die", film_die_json(clearing.mounted.front().front())},
                      {"tube", {{"od_mm", tidy(clearing.tube.od_mm)}}},
                      {"room", room_json(around.room)},
                      {"steps", std::move(steps)}};
}

}  // namespace bight::exchange
