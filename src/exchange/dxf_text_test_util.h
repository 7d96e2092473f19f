// Small drawings in text, for the tests of the DXF reader. Only the tests include it.
#pragma once

#include <fmt/format.h>

#include <string>
#include <vector>

namespace bight::exchange::sample {

inline std::string dxf_line(double x1, double y1, double x2, double y2, double z1 = 0,
                            double z2 = 0, const std::string& layer = "0") {
  return fmt::format("0\nLINE\n8\n{}\n10\n{}\n20\n{}\n30\n{}\n11\n{}\n21\n{}\n31\n{}\n", layer, x1,
                     y1, z1, x2, y2, z2);
}

inline std::string dxf_arc(double x, double y, double radius, double from_deg, double to_deg,
                           const std::string& layer = "0", const std::string& more = "") {
  return fmt::format("0\nARC\n8\n{}\n10\n{}\n20\n{}\n30\n0\n40\n{}\n50\n{}\n51\n{}\n{}", layer, x,
                     y, radius, from_deg, to_deg, more);
}

struct DxfVertex {
  double x, y, bulge_ratio = 0.0;
};

inline std::string dxf_lwpolyline(const std::vector<DxfVertex>& vertices, int flags = 0,
                                  const std::string& layer = "0", const std::string& more = "") {
  std::string text =
      fmt::format("0\nLWPOLYLINE\n8\n{}\n90\n{}\n70\n{}\n{}", layer, vertices.size(), flags, more);
  for (const DxfVertex& v : vertices) {
    text += fmt::format("10\n{}\n20\n{}\n42\n{}\n", v.x, v.y, v.bulge_ratio);
  }
  return text;
}

// A drawing of these entities; unit is $INSUNITS, below zero for none.
inline std::string dxf_drawing(const std::string& entities, int unit = 4,
                               const std::string& blocks = "") {
  std::string text = "0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1015\n";
  if (unit >= 0) text += fmt::format("9\n$INSUNITS\n70\n{}\n", unit);
  text += "0\nENDSEC\n";
  if (!blocks.empty()) text += "0\nSECTION\n2\nBLOCKS\n" + blocks + "0\nENDSEC\n";
  return text + "0\nSECTION\n2\nENTITIES\n" + entities + "0\nENDSEC\n0\nEOF\n";
}

}  // namespace bight::exchange::sample
