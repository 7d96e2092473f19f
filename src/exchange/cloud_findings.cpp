#include "exchange/cloud_findings.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace bight::exchange {

using base::Angle;
using geometry::BendRow;
using geometry::RowUncertainty;
using geometry::TubeFit;
using part::Finding;
using part::Severity;

namespace {

constexpr const char* kSource = "fit of the scan";
// Two sigma: what a person takes "plus or minus" to mean.
constexpr double kBand_ratio = 2.0;
// A bend is sure enough for a bender beyond which nobody sets.
const Angle kUnsureAngle = Angle::degrees(0.25);
const Angle kUnsureRotation = Angle::degrees(0.5);
constexpr double kUnsureLength_mm = 1.0;
constexpr double kLargeOther_ratio = 0.25;

class Findings {
 public:
  Findings(const TubeFit& fit, std::optional<double> od_mm) : fit_(fit), od_mm_(od_mm) {}

  std::vector<Finding> all() {
    residuals();
    diameter();
    for (std::size_t i = 0; i < fit_.u.size(); ++i) bend(i);
    if (fit_.u.empty()) {
      note("scan.straight", "the tube is straight: no bend was found", "");
    }
    holes();
    radius();
    ends();
    return std::move(out_);
  }

 private:
  Finding& add(Severity severity, std::string code, std::string message, std::string remedy) {
    out_.push_back({severity,
                    std::move(code),
                    std::nullopt,
                    std::move(message),
                    std::move(remedy),
                    kSource,
                    {}});
    return out_.back();
  }
  Finding& note(std::string code, std::string message, std::string remedy = "") {
    return add(Severity::kNote, std::move(code), std::move(message), std::move(remedy));
  }
  Finding& caution(std::string code, std::string message, std::string remedy) {
    return add(Severity::kCaution, std::move(code), std::move(message), std::move(remedy));
  }

  void residuals() {
    const std::size_t off = fit_.num_points - fit_.num_flat;
    const double share = static_cast<double>(fit_.num_used) / static_cast<double>(off);
    note("scan.residuals",
         fmt::format("{} of {} points lie on the tube, {:.3f} mm off it (rms), {:.2f} mm at most",
                     fit_.num_used, fit_.num_points, fit_.rms_mm, fit_.worst_mm))
        .numbers = {
        {"rms_mm", fit_.rms_mm},
        {"worst_mm", fit_.worst_mm},
        {"used_ratio", static_cast<double>(fit_.num_used) / static_cast<double>(fit_.num_points)}};
    if (fit_.num_flat > 0) {
      note(
          "scan.flat-set-aside",
          fmt::format("{} points on flat things (a table, a plate) were set aside", fit_.num_flat));
    }
    // An inner skin is no other thing; how much of the rest it makes up is not counted.
    const bool much = share < 1.0 - kLargeOther_ratio && !fit_.inner_radius_mm;
    if (much || fit_.num_other_runs > 0) {
      caution(
          "scan.other-things",
          fmt::format("{:.0f} % of the points belong to something else{}", 100.0 * (1.0 - share),
                      fit_.num_other_runs > 0 ? ", some of it like a tube" : ""),
          "look whether a piece of the tube is missing from the table; crop the scan to it");
    }
    if (fit_.inner_radius_mm) {
      note("scan.inner-skin",
           fmt::format("an inner skin was seen {:.2f} mm inside the outer one; the outer counts",
                       fit_.od_mm / 2.0 - *fit_.inner_radius_mm));
    }
  }

  void diameter() {
    if (fit_.od_held) {
      note("scan.diameter",
           fmt::format("only {:.0f}° of the girth are seen, so the diameter is held at the "
                       "measured {:.2f} mm",
                       fit_.girth_seen.deg(), fit_.od_mm))
          .numbers = {{"od_mm", fit_.od_mm}};
      return;
    }
    note("scan.diameter",
         fmt::format("outside diameter {:.2f} ± {:.2f} mm", fit_.od_mm, kBand_ratio * fit_.od_u_mm))
        .numbers = {{"od_mm", fit_.od_mm}, {"od_u_mm", fit_.od_u_mm}};
    if (fit_.girth_seen < Angle::degrees(200) && !od_mm_) {
      caution("scan.girth",
              fmt::format("only {:.0f}° of the girth are seen: a diameter from so little is easily "
                          "off, and the centreline with it",
                          fit_.girth_seen.deg()),
              "give the diameter measured with a caliper");
    }
    const double allowed_mm = std::max({0.3, 0.01 * fit_.od_mm, 3.0 * fit_.od_u_mm});
    if (od_mm_ && std::abs(*od_mm_ - fit_.od_mm) > allowed_mm) {
      caution(
          "scan.diameter-differs",
          fmt::format("the scan shows {:.2f} mm, the caliper said {:.2f} mm", fit_.od_mm, *od_mm_),
          "check unit, coating and spray on the scanned part, and the caliper");
    }
  }

  void bend(std::size_t i) {
    const RowUncertainty& u = fit_.u[i];
    const BendRow& row = fit_.table.rows()[i];
    const bool hidden =
        std::find(fit_.hidden_bends.begin(), fit_.hidden_bends.end(), i) != fit_.hidden_bends.end();
    if (hidden) {
      caution(
          "scan.hidden-bend",
          fmt::format("the arc of bend {} lies in a hole of the scan; its radius of {:.1f} mm is "
                      "that of the others or a guess, its corner is sure",
                      i + 1, row.radius_mm),
          "measure the radius, or scan that stretch")
          .bend = i + 1;
    }
    if (u.angle > kUnsureAngle || u.rotation > kUnsureRotation ||
        u.straight_mm > kUnsureLength_mm) {
      Finding& found = caution(
          "scan.unsure",
          fmt::format("bend {} is not sure: straight before ± {:.1f} mm, rotation ± {:.2f}°, angle "
                      "± {:.2f}°, radius ± {:.1f} mm",
                      i + 1, kBand_ratio * u.straight_mm, kBand_ratio * u.rotation.deg(),
                      kBand_ratio * u.angle.deg(), kBand_ratio * u.radius_mm),
          "a short straight, a shallow bend or a hole leaves numbers that only count together: "
          "compare shapes, not rows");
      found.bend = i + 1;
      found.numbers = {{"straight_u_mm", u.straight_mm},
                       {"rotation_u_deg", u.rotation.deg()},
                       {"angle_u_deg", u.angle.deg()},
                       {"radius_u_mm", u.radius_mm}};
    }
  }

  void holes() {
    if (fit_.holes_mm.empty()) return;
    const double longest_mm = *std::max_element(fit_.holes_mm.begin(), fit_.holes_mm.end());
    note("scan.holes", fmt::format("the scan has {} hole(s) along the tube, the longest {:.0f} mm",
                                   fit_.holes_mm.size(), longest_mm));
  }

  void radius() {
    if (!fit_.shared_radius_mm) return;
    note(
        "scan.shared-radius",
        fmt::format("one centreline radius of {:.2f} ± {:.2f} mm would do for all bends; the table "
                    "keeps the fitted ones",
                    *fit_.shared_radius_mm, kBand_ratio * fit_.shared_radius_u_mm))
        .numbers = {{"radius_mm", *fit_.shared_radius_mm},
                    {"radius_u_mm", fit_.shared_radius_u_mm}};
  }

  void ends() {
    const std::string which = fit_.swapped ? ", exchanged as asked" : "";
    if (fit_.ends_alike) {
      caution("scan.ends-alike",
              fmt::format("both ends look the same; end A is the one nearer the scan's origin{}",
                          which),
              "mark end A on the sample, and exchange the ends if it is the other one");
      return;
    }
    note("scan.end-a",
         fmt::format("end A is the end with the longer end straight (then the larger first bend){}",
                     which));
  }

  const TubeFit& fit_;
  std::optional<double> od_mm_;
  std::vector<Finding> out_;
};

}  // namespace

std::vector<Finding> scan_findings(const TubeFit& fit, std::optional<double> od_mm) {
  return Findings(fit, od_mm).all();
}

}  // namespace bight::exchange
