// Cross-sections of tube, pipe and bar, and their exact properties.
#pragma once

#include <string>

#include "base/result.h"

namespace bight::stock {

enum class SectionKind { kRoundTube, kRoundBar, kRectTube, kRectBar };

// A valid cross-section. The section's height lies in the plane of bending, its width across it;
// turned() gives the same stock bent the other way (easy way / hard way).
//
// Sources: plane geometry; shape factors of a thin tube 4/pi, a solid round 16/(3 pi) and a
// rectangle 3/2 are the textbook limits the tests hold it to.
class Section {
 public:
  // Failure codes: section.size (not finite or not positive), section.wall (wall >= half the
  // outside size; a solid must be said to be one), section.corner (corner radius out of range).
  static base::Result<Section> round_tube(double od_mm, double wall_mm);
  static base::Result<Section> round_bar(double diameter_mm);
  // Outer corner radius: 0 for sharp. The inner corner radius is max(0, outer - wall).
  static base::Result<Section> rect_tube(double height_mm, double width_mm, double wall_mm,
                                         double corner_radius_mm);
  static base::Result<Section> rect_bar(double height_mm, double width_mm);

  SectionKind kind() const { return kind_; }
  bool round() const { return kind_ == SectionKind::kRoundTube || kind_ == SectionKind::kRoundBar; }
  bool hollow() const {
    return kind_ == SectionKind::kRoundTube || kind_ == SectionKind::kRectTube;
  }

  double height_mm() const {
    return height_mm_;
  }  // outside size in the plane of bending; OD if round
  double width_mm() const { return width_mm_; }  // outside size across it; OD if round
  double wall_mm() const { return wall_mm_; }    // half the smaller size for a solid
  double corner_radius_mm() const { return corner_radius_mm_; }  // outer; 0 for round sections

  double area_mm2() const;
  double second_moment_mm4() const;    // about the centroidal axis normal to the plane of bending
  double elastic_modulus_mm3() const;  // second moment / half height
  double plastic_modulus_mm3() const;
  double outer_perimeter_mm() const;
  // Mass per metre of length for a density in kg/m³.
  double mass_kg_per_m(double density_kg_per_m3) const;

  // The same stock with height and width exchanged.
  Section turned() const;

  // Wall factor of the trade: outside size in the plane of bending / wall.
  double wall_factor_ratio() const { return height_mm_ / wall_mm_; }

  // "38.1 x 1.65", "40 x 20 x 2", "bar 20", "bar 50 x 10".
  std::string text() const;

  friend bool operator==(const Section&, const Section&) = default;

 private:
  Section(SectionKind kind, double height_mm, double width_mm, double wall_mm,
          double corner_radius_mm)
      : kind_(kind),
        height_mm_(height_mm),
        width_mm_(width_mm),
        wall_mm_(wall_mm),
        corner_radius_mm_(corner_radius_mm) {}

  SectionKind kind_;
  double height_mm_;
  double width_mm_;
  double wall_mm_;
  double corner_radius_mm_;
};

}  // namespace bight::stock
