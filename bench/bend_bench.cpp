// How long a prediction takes: a slider moves, thousands of calls a second.
#include "mechanics/bend.h"

#include <benchmark/benchmark.h>

#include "mechanics/band.h"
#include "mechanics/bend_inverse.h"
#include "mechanics/difficulty.h"
#include "mechanics/fracture.h"
#include "mechanics/moment_curve.h"
#include "mechanics/ovality.h"
#include "mechanics/tooling_size.h"
#include "mechanics/torque.h"
#include "mechanics/wrinkle.h"

namespace bight::mechanics {
namespace {

using stock::FlowCurve;
using stock::Section;

FlowCurve swift() { return *FlowCurve::swift(205e3, 700, 0.01, 0.2); }

Section section(std::int64_t index) {
  switch (index) {
    case 0:
      return *Section::round_tube(38.1, 1.65);
    case 1:
      return *Section::round_tube(60, 12);
    case 2:
      return *Section::round_bar(20);
    case 3:
      return *Section::rect_tube(40, 40, 3, 6);
    default:
      return *Section::rect_bar(10, 40);
  }
}

// Sections 0 thin tube, 1 thick tube, 2 bar, 3 box, 4 flat; second argument: die radius in heights.
void predict(benchmark::State& state) {
  const Section s = section(state.range(0));
  BendCase bend{s, swift(), s.height_mm() * static_cast<double>(state.range(1))};
  for (auto _ : state) {
    benchmark::DoNotOptimize(predict_bend(bend));
  }
}
BENCHMARK(predict)->ArgsProduct({{0, 1, 2, 3, 4}, {2, 3, 10}})->Unit(benchmark::kMicrosecond);

void predict_perfect(benchmark::State& state) {
  const Section s = section(0);
  BendCase bend{s, *FlowCurve::perfect(205e3, 350), 114.3};
  for (auto _ : state) {
    benchmark::DoNotOptimize(predict_bend(bend));
  }
}
BENCHMARK(predict_perfect)->Unit(benchmark::kMicrosecond);

void predict_under_pull(benchmark::State& state) {
  const Section s = section(0);
  BendCase bend{s, swift(), 114.3};
  bend.axial_force_n = 0.2 * bend.curve.yield_mpa() * s.area_mm2();
  for (auto _ : state) {
    benchmark::DoNotOptimize(predict_bend(bend));
  }
}
BENCHMARK(predict_under_pull)->Unit(benchmark::kMicrosecond);

// Everything bight bend prints of a bend but its band: strains, walls, release, ovality and fate,
// wrinkles, cracks, torque, tooling sizes, difficulty. The argument is the die radius in diameters.
void everything(benchmark::State& state) {
  const Section s = section(0);
  BendCase bend{s, swift(), s.height_mm() * static_cast<double>(state.range(0))};
  bend.support = Support::kMandrel;
  const auto curves = OvalityCurves::make({s, swift(), 0.3}, FlatteningMode::kCradled);
  const double nose_mm = *mandrel_nose_mm(s.height_mm(), s.wall_mm());
  for (auto _ : state) {
    const auto out = predict_bend(bend);
    benchmark::DoNotOptimize(curves->at(bend.die_radius_mm, {0.2, nose_mm, false}));
    benchmark::DoNotOptimize(
        wrinkle_forecast(s, bend.curve, 0.3, bend.die_radius_mm, WallSupport::kOneSided));
    benchmark::DoNotOptimize(crack_forecast(s, bend.curve, 0.25, bend.die_radius_mm));
    benchmark::DoNotOptimize(die_torque(out->moment_nmm));
    benchmark::DoNotOptimize(nose_advance({s.height_mm(), s.wall_mm(), bend.die_radius_mm}));
    benchmark::DoNotOptimize(bend_difficulty(
        {s.height_mm(), s.wall_mm(), bend.die_radius_mm, base::Angle::degrees(90)}));
  }
}
BENCHMARK(everything)->Arg(2)->Arg(3)->Arg(10)->Unit(benchmark::kMicrosecond);

void wrinkles(benchmark::State& state) {
  const Section s = section(0);
  for (auto _ : state) {
    benchmark::DoNotOptimize(wrinkle_forecast(s, swift(), 0.3, 114.3, WallSupport::kOneSided));
  }
}
BENCHMARK(wrinkles)->Unit(benchmark::kMicrosecond);

void cracks(benchmark::State& state) {
  const Section s = section(0);
  for (auto _ : state) benchmark::DoNotOptimize(crack_forecast(s, swift(), 0.25, 114.3));
}
BENCHMARK(cracks)->Unit(benchmark::kMicrosecond);

// Ovality by itself: worked out for one radius; the curves for all of them; a look-up.
void ovality_full(benchmark::State& state) {
  const OvalityCase bend{section(0), swift(), 0.3, 114.3};
  for (auto _ : state) benchmark::DoNotOptimize(supported_ovality(bend, {0.2, {}, false}));
}
BENCHMARK(ovality_full)->Unit(benchmark::kMillisecond);

void ovality_curves(benchmark::State& state) {
  const OvalityCase bend{section(0), swift(), 0.3};
  for (auto _ : state) {
    benchmark::DoNotOptimize(OvalityCurves::make(bend, FlatteningMode::kCradled));
  }
}
BENCHMARK(ovality_curves)->Unit(benchmark::kMillisecond);

void ovality_lookup(benchmark::State& state) {
  const auto curves = OvalityCurves::make({section(0), swift(), 0.3}, FlatteningMode::kCradled);
  for (auto _ : state) benchmark::DoNotOptimize(curves->at(114.3, {0.2, {}, false}));
}
BENCHMARK(ovality_lookup)->Unit(benchmark::kMicrosecond);

void collapse_search(benchmark::State& state) {
  const OvalityCase bend{section(0), swift(), 0.3};
  for (auto _ : state) benchmark::DoNotOptimize(collapse_clr_mm(bend, FlatteningMode::kFree));
}
BENCHMARK(collapse_search)->Unit(benchmark::kMillisecond);

void band(benchmark::State& state) {
  BendCase bend{section(0), swift(), 114.3};
  const Scatter scatter;
  for (auto _ : state) {
    benchmark::DoNotOptimize(bend_band(bend, scatter));
  }
}
BENCHMARK(band)->Unit(benchmark::kMillisecond);

void die_radius(benchmark::State& state) {
  BendCase bend{section(0), swift(), 114.3};
  for (auto _ : state) {
    benchmark::DoNotOptimize(die_radius_for_mm(bend, 120));
  }
}
BENCHMARK(die_radius)->Unit(benchmark::kMicrosecond);

void moment_curve(benchmark::State& state) {
  const MomentCurve curve(section(0), swift());
  double curvature_per_mm = 1e-4;
  for (auto _ : state) {
    curvature_per_mm = curvature_per_mm < 0.01 ? curvature_per_mm * 1.01 : 1e-4;
    benchmark::DoNotOptimize(curve.moment_nmm(curvature_per_mm));
  }
}
BENCHMARK(moment_curve)->Unit(benchmark::kMicrosecond);

}  // namespace
}  // namespace bight::mechanics
