// Test support: STEP files of tubes made by a path that shares no code with reader or writer.
// Solids are swept, revolved, fused and cut by Open CASCADE from gp transformations; the layout of
// the centreline is worked out here from scratch.
#pragma once

#include <functional>
#include <string>
#include <vector>

namespace bight::reader::made {

struct Row {
  double straight_mm = 0.0;
  double rotation_deg = 0.0;
  double angle_deg = 0.0;
  double radius_mm = 0.0;
};

enum class Build {
  kPipe,          // profile swept along the wire
  kFused,         // extruded and revolved pieces, fused
  kBodies,        // the same pieces, each a body of its own
  kFreeForm,      // swept, then every surface turned into a B-spline
  kUnified,       // fused, faces on one surface made one
  kApproximated,  // swept, then every surface replaced by a polynomial spline near it
  kLongFace,      // one spline face for each skin, over all straights and bends
};

// What of the body goes into the file.
enum class Keep {
  kBody,
  kSkins,       // without the faces that close its ends: open shells
  kOuterSkin,   // the outside only, one open shell
  kLooseFaces,  // all faces but the end ones, none of which knows its neighbours
};

enum class Cut { kSquare, kMitre, kCoped };

struct Recipe {
  std::string name;
  std::vector<Row> rows;
  double last_mm = 0.0;
  double height_mm = 25.0;  // outside diameter unless width_mm is given
  double width_mm = 0.0;
  double wall_mm = 2.0;  // 0: solid
  double corner_mm = 0.0;
  Build build = Build::kPipe;
  int arcs_in_profile = 1;  // 2: halves, 4: quarters
  Cut cut_a = Cut::kSquare;
  Cut cut_b = Cut::kSquare;
  double mitre_deg = 0.0;
  double cope_diameter_mm = 0.0;
  double cope_axis_deg = 90.0;  // between the tube and what it is coped to
  double bevel_mm = 0.0;        // taken off the outside at end B
  // Additions, each fused to the tube or left as a body beside it.
  bool flange_a = false;     // disc with the tube's bore, from end A inwards
  bool collar = false;       // disc round the middle of the first straight
  bool bracket = false;      // block on the middle of the first straight
  bool cross_hole = false;   // through the first straight
  bool separate = false;     // additions are bodies of their own
  bool second_tube = false;  // a shorter straight tube elsewhere
  bool mirrored = false;     // the solid mirrored in the XY plane
  Keep keep = Keep::kBody;
  bool assembly = false;  // tube and additions are parts, placed twice over by transformations
  double move_mm[3] = {12.0, -7.0, 31.0};
  double turn_deg = 37.0;          // about the direction (1, 2, 3)
  std::string schema = "AP214IS";  // AP203, AP214IS, AP242DIS
  std::string unit = "MM";         // MM, INCH, M
};

struct Expected {
  std::vector<Row> rows;  // from the end the recipe calls A
  double last_mm = 0.0;
  double start_mm[3] = {};
  double end_mm[3] = {};
  double volume_mm3 = 0.0;  // of the whole shape, as the kernel integrates it
};

// Writes the file; the expectation takes cuts and mirroring into account.
Expected write(const Recipe& recipe, const std::string& path);

// Shapes that are no tubes: "box", "sphere", "plate", "blocks", "ring", "disc", "elbow-hole",
// "stepped-shaft", "filleted-box", "hose", "taper".
void write_other(const std::string& kind, const std::string& path);

// What the kernel itself says of a STEP file: volume, number of solids, of free edges lying in no
// face, whether every shape is valid, and the wire length of those edges.
struct KernelView {
  double volume_mm3 = 0.0;
  std::size_t num_solids = 0;
  std::size_t num_faces = 0;
  std::size_t num_free_edges = 0;
  double free_length_mm = 0.0;
  bool valid = false;
  std::string name;
  std::string unit;
};
KernelView kernel_view(const std::string& path);

}  // namespace bight::reader::made
