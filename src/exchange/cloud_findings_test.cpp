#include "exchange/cloud_findings.h"

#include <gtest/gtest.h>

namespace bight::exchange {
namespace {

using base::Angle;
using part::Finding;
using part::Severity;

geometry::TubeFit good() {
  geometry::TubeFit fit{
      *geometry::BendTable::make({{220, Angle(), Angle::degrees(60), 60},
                                  {120, Angle::degrees(110), Angle::degrees(80), 60}},
                                 150),
      geometry::Frame(), 25.0};
  fit.u = {{0.1, Angle(), Angle::degrees(0.02), 0.1},
           {0.1, Angle::degrees(0.02), Angle::degrees(0.02), 0.1}};
  fit.od_u_mm = 0.01;
  fit.num_points = 10000;
  fit.num_used = 9900;
  fit.rms_mm = 0.2;
  fit.worst_mm = 0.9;
  fit.girth_seen = Angle::degrees(360);
  return fit;
}

const Finding* found(const std::vector<Finding>& findings, const std::string& code) {
  for (const Finding& finding : findings) {
    if (finding.code == code) return &finding;
  }
  return nullptr;
}

// A good scan has notes only: residuals, diameter, which end is A.
TEST(CloudFindings, AGoodScan) {
  const auto findings = scan_findings(good(), std::nullopt);
  for (const Finding& finding : findings)
    EXPECT_EQ(finding.severity, Severity::kNote) << finding.code;
  ASSERT_NE(found(findings, "scan.residuals"), nullptr);
  EXPECT_NEAR(found(findings, "scan.residuals")->numbers.at("used_ratio"), 0.99, 1e-12);
  EXPECT_EQ(found(findings, "scan.diameter")->message, "outside diameter 25.00 ± 0.02 mm");
  EXPECT_NE(found(findings, "scan.end-a"), nullptr);
}

// Little girth without a caliper, and a caliper that disagrees, are cautions.
TEST(CloudFindings, Diameter) {
  geometry::TubeFit fit = good();
  fit.girth_seen = Angle::degrees(120);
  EXPECT_NE(found(scan_findings(fit, std::nullopt), "scan.girth"), nullptr);
  fit.od_held = true;
  EXPECT_EQ(found(scan_findings(fit, 25.0), "scan.girth"), nullptr);
  EXPECT_NE(found(scan_findings(fit, 25.0), "scan.diameter")->message.find("120°"),
            std::string::npos);
  EXPECT_EQ(found(scan_findings(good(), 25.2), "scan.diameter-differs"), nullptr);
  EXPECT_NE(found(scan_findings(good(), 25.4), "scan.diameter-differs"), nullptr);
}

// A bend that is not sure, or hidden, is named with its number.
TEST(CloudFindings, Bends) {
  geometry::TubeFit fit = good();
  fit.u[1].angle = Angle::degrees(0.6);
  fit.hidden_bends = {0};
  const auto findings = scan_findings(fit, std::nullopt);
  EXPECT_EQ(found(findings, "scan.unsure")->bend, 2u);
  EXPECT_NEAR(found(findings, "scan.unsure")->numbers.at("angle_u_deg"), 0.6, 1e-12);
  EXPECT_EQ(found(findings, "scan.hidden-bend")->bend, 1u);
}

// Other things, flat things, holes, skins, a shared radius, ends that look alike, a straight tube.
TEST(CloudFindings, Surroundings) {
  geometry::TubeFit fit = good();
  fit.num_used = 5000;
  fit.num_flat = 1000;
  fit.holes_mm = {40, 70};
  fit.shared_radius_mm = 60.1;
  fit.ends_alike = true;
  auto findings = scan_findings(fit, std::nullopt);
  EXPECT_EQ(found(findings, "scan.other-things")->severity, Severity::kCaution);
  EXPECT_NE(found(findings, "scan.flat-set-aside"), nullptr);
  EXPECT_NE(found(findings, "scan.holes")->message.find("2 hole(s)"), std::string::npos);
  EXPECT_NE(found(findings, "scan.shared-radius"), nullptr);
  EXPECT_EQ(found(findings, "scan.ends-alike")->severity, Severity::kCaution);
  fit.inner_radius_mm = 11.0;
  findings = scan_findings(fit, std::nullopt);
  EXPECT_EQ(found(findings, "scan.other-things"), nullptr);
  EXPECT_NE(found(findings, "scan.inner-skin")->message.find("1.50 mm"), std::string::npos);
  geometry::TubeFit straight{*geometry::BendTable::make({}, 300), geometry::Frame(), 25.0};
  straight.num_points = straight.num_used = 100;
  EXPECT_NE(found(scan_findings(straight, std::nullopt), "scan.straight"), nullptr);
}

}  // namespace
}  // namespace bight::exchange
