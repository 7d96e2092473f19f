#include "mechanics/flattening_path.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

namespace bight::mechanics {
namespace {

using stock::FlowCurve;

// Every state on the way agrees with the equilibrium found by itself, and the path ends where the
// bisection finds collapse: sizes, metals and modes drawn at random.
RC_GTEST_PROP(FlatteningPathProperty, AgreesWithTheEquilibrium, ()) {
  const double od = *rc::gen::inRange(100, 1200) / 10.0;
  const double factor = *rc::gen::inRange(8, 60);
  const double k = *rc::gen::inRange(200, 1200);
  const double e0 = *rc::gen::inRange(1, 300) / 10000.0;
  const double n = *rc::gen::inRange(5, 50) / 100.0;
  const auto mode = *rc::gen::element(FlatteningMode::kFree, FlatteningMode::kCradled);
  const FlatteningTube tube{od, od / factor, 0.3};
  const FlowCurve curve = *FlowCurve::swift(205e3, k, e0, n);
  const FlatteningPath path(tube, curve, mode);
  const double end = std::min(path.collapse_per_mm(), 2 / od);
  for (int i = 0; i < 6; ++i) {
    const double share = *rc::gen::inRange(20, 990) / 1000.0;
    const auto fast = path.at(share * end);
    const auto full = flattening_state(tube, curve, mode, share * end);
    RC_ASSERT(fast.has_value() && full.has_value());
    RC_ASSERT(std::abs(fast->amplitude_ratio / full->amplitude_ratio - 1) < 0.015);
    RC_ASSERT(std::abs(fast->moment_nmm / full->moment_nmm - 1) < 3e-3);
  }
  RC_ASSERT(!std::isfinite(path.collapse_per_mm()) ||
            !path.at(1.0001 * path.collapse_per_mm()).has_value());
}

// Collapse against the bisection on single states, free and cradled, Swift and perfectly plastic.
TEST(FlatteningPath, CollapsesWhereTheBisectionDoes) {
  for (const FlatteningMode mode : {FlatteningMode::kFree, FlatteningMode::kCradled}) {
    for (const FlowCurve& curve :
         {*FlowCurve::swift(205e3, 600, 0.005, 0.15), *FlowCurve::swift(70e3, 400, 0.01, 0.2)}) {
      const FlatteningTube tube{38.1, 1.65, 0.3};
      const double slow = collapse_curvature_per_mm(tube, curve, mode);
      const double fast = FlatteningPath(tube, curve, mode).collapse_per_mm();
      if (!std::isfinite(slow)) {
        EXPECT_FALSE(std::isfinite(fast));
        continue;
      }
      EXPECT_NEAR(fast / slow, 1.0, 1e-3);
    }
  }
}

// An elastic tube follows Brazier from the first millimetre to his collapse: zeta = kappa^2 r^4
// (1 - nu^2)/t^2, zeta 2/9 at kappa_B 7.990068e-4 for r 25, t 1, nu 0.33 (Brazier 1927, standard).
TEST(FlatteningPathReference, ElasticTubeFollowsBrazier) {
  const FlatteningPath path({51, 1, 0.33}, *FlowCurve::perfect(68.9e3, 3000),
                            FlatteningMode::kFree);
  EXPECT_NEAR(path.collapse_per_mm(), 7.990068e-4, 2e-3 * 7.990068e-4);
  for (const double kappa : {1e-6, 1e-5, 1e-4, 4e-4, 7e-4}) {
    const double zeta = kappa * kappa * std::pow(25.0, 4) * (1 - 0.33 * 0.33);
    EXPECT_NEAR(path.at(kappa)->amplitude_ratio / zeta, 1.0, 1e-3);
  }
}

}  // namespace
}  // namespace bight::mechanics
