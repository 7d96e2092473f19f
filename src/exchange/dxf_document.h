// A drawing being written as DXF, release 2000 (AC1015), in text.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "geometry/centreline.h"

namespace bight::exchange {

// Collects entities in millimetres, then writes the file. That release is the oldest that carries
// units and is read by everything that reads DXF at all.
class DxfDocument {
 public:
  struct Layer {
    std::string name;
    int colour = 7;  // of the format's colour list: 1 red, 3 green, 5 blue, 7 black or white
    bool centreline = false;  // drawn long dash, short dash
  };

  explicit DxfDocument(std::vector<Layer> layers) : layers_(std::move(layers)) {}

  void line(std::string_view layer, const geometry::Vec3& a_mm, const geometry::Vec3& b_mm);
  // Turning by the angle about the unit axis through the centre, right-hand positive.
  void arc(std::string_view layer, const geometry::Vec3& centre_mm, const geometry::Vec3& nhat_axis,
           const geometry::Vec3& start_mm, base::Angle angle);
  // In the plane of the drawing.
  void polyline(std::string_view layer, const std::vector<Eigen::Vector2d>& points_mm, bool closed);
  // One line of text, its left end on the base line at the point.
  void text(std::string_view layer, const Eigen::Vector2d& at_mm, double height_mm,
            std::string_view text);

  // The whole file.
  std::string bytes() const;

 private:
  std::string tables() const;
  std::string next_handle();
  void begin(const char* type, const char* subclass, std::string_view layer);

  std::vector<Layer> layers_;
  std::string entities_;
  unsigned next_handle_ = 0x100;
};

}  // namespace bight::exchange
