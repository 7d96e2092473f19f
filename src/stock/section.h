// Cross-sections of tube, pipe and bar, and their exact properties.
#pragma once

#include <string>

#include "base/result.h"
#include "stock/open_figure.h"

namespace bight::stock {

enum class SectionKind { kRoundTube, kRoundBar, kRectTube, kRectBar, kAngle, kChannel };

// Where the free edges of a leg or of flanges that stand in the plane of bending point: towards the
// bend's centre ("leg in", "flanges in") or away from it.
enum class Toes { kIn, kOut };

// Rounding of a rolled angle or channel: between its legs, and at the inner edge of each toe. 0
// takes it as sharp. A tapered flange counts with its mean thickness.
struct OpenRadii {
  double root_mm = 0.0;
  double toe_mm = 0.0;

  friend bool operator==(const OpenRadii&, const OpenRadii&) = default;
};

// A valid cross-section. The section's height lies in the plane of bending, its width across it;
// turned() gives the same stock bent the other way (easy way / hard way). An angle has one leg in
// the plane of bending; a channel stands on edge (web in the plane, hard way) or has its web across
// it, flanges in or out. The centreline of a section is the line of its centroid.
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
  // Legs in and across the plane of bending. Also section.wall: the thickness fills a leg.
  static base::Result<Section> angle(double height_mm, double width_mm, double thickness_mm,
                                     OpenRadii radii = {});
  // A channel on edge: its depth in the plane of bending, the length of its flanges across.
  static base::Result<Section> channel(double depth_mm, double flange_mm, double web_mm,
                                       double flange_thickness_mm, OpenRadii radii = {});

  SectionKind kind() const { return kind_; }
  bool round() const { return kind_ == SectionKind::kRoundTube || kind_ == SectionKind::kRoundBar; }
  bool hollow() const {
    return kind_ == SectionKind::kRoundTube || kind_ == SectionKind::kRectTube;
  }
  // Angle or channel: for rolls, not for a bend die.
  bool open() const { return kind_ == SectionKind::kAngle || kind_ == SectionKind::kChannel; }

  double height_mm() const {
    return height_mm_;
  }  // outside size in the plane of bending; OD if round
  double width_mm() const { return width_mm_; }  // outside size across it; OD if round
  // Leg of an angle, web of a channel; half the smaller size of a solid.
  double wall_mm() const { return wall_mm_; }
  double corner_radius_mm() const { return corner_radius_mm_; }  // outer; 0 for round sections

  double flange_thickness_mm() const { return flange_mm_; }  // channel; 0 for all others
  OpenRadii radii() const { return radii_; }
  Toes toes() const { return toes_; }
  bool on_edge() const { return on_edge_; }  // a channel whose web lies in the plane of bending
  // Of an open section as it stands; nothing in it for the others.
  OpenFigure figure() const;

  // From the centroid to the outermost and innermost fibre: half the height unless open.
  double outer_mm() const;
  double inner_mm() const;

  double area_mm2() const;
  double second_moment_mm4() const;    // about the centroidal axis normal to the plane of bending
  double elastic_modulus_mm3() const;  // second moment / distance of the furthest fibre
  double plastic_modulus_mm3() const;
  // Second moment about the axis in the plane of bending, and the product of both coordinates: 0
  // where the plane of bending or the axis across it is one of symmetry. An angle has it: bent in
  // one plane it pushes sideways.
  double across_moment_mm4() const;
  double product_moment_mm4() const;
  double outer_perimeter_mm() const;
  // Mass per metre of length for a density in kg/m³.
  double mass_kg_per_m(double density_kg_per_m3) const;

  // The same stock with height and width exchanged; a channel changes between on edge and flanges
  // in or out.
  Section turned() const;
  // An angle or channel with its toes pointing that way.
  Section facing(Toes toes) const;

  // Wall factor of the trade: outside size in the plane of bending / wall.
  double wall_factor_ratio() const { return height_mm_ / wall_mm_; }

  // "38.1 x 1.65", "40 x 20 x 2", "bar 20", "bar 50 x 10", "L 50 x 30 x 5", "U 100 x 50 x 6 x 8.5".
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
  double flange_mm_ = 0.0;
  OpenRadii radii_ = {};
  Toes toes_ = Toes::kIn;
  bool on_edge_ = false;
};

}  // namespace bight::stock
