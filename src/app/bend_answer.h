// One bend asked about on the command line, and everything the mechanics room has to say of it.
#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <vector>

#include "base/angle.h"
#include "base/result.h"
#include "mechanics/band.h"
#include "mechanics/difficulty.h"
#include "mechanics/fracture.h"
#include "mechanics/ovality.h"
#include "mechanics/tooling_size.h"
#include "mechanics/torque.h"
#include "mechanics/wrinkle.h"
#include "part/finding.h"

namespace bight::app {

// As typed. Empty texts mean not given.
struct BendQuestion {
  std::string size;
  std::string material;  // empty: S235JRH, or none at all beside a typed law
  std::string die_radius;
  std::string angle = "90";
  std::string support = "die";  // free, die or mandrel
  std::string law;              // "perfect": with yield_mpa
  std::string hollomon;         // "K,n" in MPa
  std::string swift;            // "K,e0,n"
  std::optional<double> yield_mpa;
  std::optional<double> youngs_mpa;
  std::optional<double> rated_torque_nm;  // N m
  std::optional<double> power_w;
  std::optional<double> max_rpm;
};

struct BendAnswer {
  stock::Section section;
  std::string material;
  std::string flow;         // the law
  std::string flow_source;  // how it was made
  mechanics::BendCase bend;
  base::Angle finished;
  mechanics::BendPrediction prediction;
  mechanics::BendBand band;
  bool collapses = false;  // then springback and set angle mean nothing
  // Round tube only.
  std::optional<mechanics::OvalityForecast> ovality;
  std::optional<mechanics::WrinkleForecast> wrinkle;
  std::optional<mechanics::Difficulty> difficulty;
  std::optional<mechanics::NoseAdvance> nose;
  mechanics::CrackForecast crack;
  bool elongation_is_firm = false;  // read or measured, not recalled
  mechanics::DieTorque torque;
  std::optional<mechanics::SpeedLimit> speed;  // when a drive was given
  std::vector<part::Finding> findings;
};

// Failure codes: bend.law (a law that cannot be read, two laws at once, a perfect law whose yield
// nobody gave), bend.input (an angle not within 0 to 360 degrees, a modulus, yield or drive that is
// not positive); those of the sizes, metals, lengths, angles
// and of predict_bend().
base::Result<BendAnswer> answer_bend(const BendQuestion& question);

nlohmann::ordered_json bend_json(const BendAnswer& answer);
std::string bend_text(const BendAnswer& answer, bool colour);

}  // namespace bight::app
