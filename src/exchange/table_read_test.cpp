#include "exchange/table_read.h"

#include <gtest/gtest.h>

#include <algorithm>

namespace bight::exchange {
namespace {

LineReading read(const std::string& text, const Answers& answers = {}) {
  LineOptions options;
  options.answers = answers;
  auto reading = read_table(text, "f.csv", options);
  EXPECT_TRUE(reading.ok()) << reading.failure().text();
  return reading.ok() ? std::move(reading).value() : LineReading();
}

std::string code(const std::string& text, const Answers& answers = {}) {
  LineOptions options;
  options.answers = answers;
  const auto reading = read_table(text, "f.csv", options);
  return reading.ok() ? "" : reading.failure().code;
}

std::vector<std::string> asked(const LineReading& reading) {
  std::vector<std::string> codes;
  for (const Question& question : reading.questions) codes.push_back(question.code);
  EXPECT_EQ(reading.line.has_value(), codes.empty());
  return codes;
}

using Codes = std::vector<std::string>;

// A plain list of points is read without a question, and the bend between them is where it is.
TEST(TableRead, ReadsCorners) {
  const LineReading r = read(
      "Point,X [mm],Y [mm],Z [mm],CLR [mm]\n1,0,0,0,\n2,400,0,0,75\n"
      "3,400,300,0,\n");
  ASSERT_EQ(asked(r), Codes());
  ASSERT_EQ(r.line->table.num_bends(), 1u);
  EXPECT_DOUBLE_EQ(r.line->table.rows()[0].straight_mm, 325.0);
  EXPECT_DOUBLE_EQ(r.line->table.rows()[0].angle.deg(), 90.0);
  EXPECT_DOUBLE_EQ(r.line->table.last_straight_mm(), 225.0);
}

// Twin points are one corner: it turns between its neighbours apart from it, and its radius is
// asked for as that of any other.
TEST(TableRead, AsksTheRadiusOfTwinCorners) {
  const std::string text = "X mm,Y mm,Z mm\n0,0,0\n400,0,0\n400,0,0\n400,300,0\n";
  EXPECT_EQ(asked(read(text)), Codes({"ask.radius"}));
  const LineReading r = read(text, {{"radius", "75"}});
  ASSERT_EQ(asked(r), Codes());
  ASSERT_EQ(r.line->table.num_bends(), 1u);
  EXPECT_DOUBLE_EQ(r.line->table.rows()[0].radius_mm, 75.0);
  EXPECT_DOUBLE_EQ(r.line->table.rows()[0].straight_mm, 325.0);
}

// Points on a straight and twins of an end are no bends: nothing is asked about them.
TEST(TableRead, AsksNoRadiusWhereNothingTurns) {
  EXPECT_EQ(asked(read("X mm,Y mm\n0,0\n100,0\n400,0\n")), Codes());
  EXPECT_EQ(asked(read("X mm,Y mm\n0,0\n0,0\n400,0\n400,0\n")), Codes());
}

// Between the legs 0 is a U: it takes the radius that the others were asked for.
TEST(TableRead, AUOfIncludedAngleHasItsRadius) {
  const LineReading r = read("Straight mm,Rotation,Angle\n200,0,120\n300,90,0\n200,90,60\n150,,\n",
                             {{"radius", "60"}, {"angle", "included"}, {"rotation", "relative"}});
  ASSERT_EQ(asked(r), Codes());
  ASSERT_EQ(r.line->table.num_bends(), 3u);
  EXPECT_DOUBLE_EQ(r.line->table.rows()[1].angle.deg(), 180.0);
  EXPECT_DOUBLE_EQ(r.line->table.rows()[1].radius_mm, 60.0);
}

// A German export: semicolons, decimal commas, no-break thousands, Windows-1252, a units row.
TEST(TableRead, ReadsAGermanBendTable) {
  const LineReading r = read(
      "Nr;L\xE4nge;Verdrehung relativ;Biegewinkel;Biegeradius\n"
      ";mm;\xB0;\xB0;mm\n"
      "1;1\xA0"
      "250,5;0;47,9;57\n2;41;90;30;57\n3;118,25\n");
  ASSERT_EQ(asked(r), Codes());
  ASSERT_EQ(r.line->table.num_bends(), 2u);
  EXPECT_DOUBLE_EQ(r.line->table.rows()[0].straight_mm, 1250.5);
  EXPECT_DOUBLE_EQ(r.line->table.rows()[0].angle.deg(), 47.9);
  EXPECT_DOUBLE_EQ(r.line->table.rows()[1].rotation.deg(), 90.0);
  EXPECT_DOUBLE_EQ(r.line->table.last_straight_mm(), 118.25);
}

// Length, rotation, angle by letters: everything the letters leave open is asked, and each answer
// gives its own part.
TEST(TableRead, AsksWhatLettersLeaveOpen) {
  const std::string text = "L\tR\tA\n100\t0\t90\n80\t90\t45\n60\t-90\t30\n50\n";
  EXPECT_EQ(asked(read(text)), Codes({"ask.units"}));
  EXPECT_EQ(asked(read(text, {{"units", "mm"}})), Codes({"ask.radius"}));
  EXPECT_EQ(asked(read(text, {{"units", "mm"}, {"radius", "50"}})),
            Codes({"ask.angle", "ask.rotation"}));
  const Answers common = {{"units", "mm"}, {"radius", "50"}, {"angle", "bend"}};
  Answers relative = common, absolute = common;
  relative["rotation"] = "relative";
  absolute["rotation"] = "absolute";
  const LineReading a = read(text, relative);
  const LineReading b = read(text, absolute);
  ASSERT_EQ(asked(a), Codes());
  EXPECT_DOUBLE_EQ(a.line->table.rows()[2].rotation.deg(), -90.0);
  EXPECT_DOUBLE_EQ(b.line->table.rows()[2].rotation.deg(), 180.0);
  relative["angle"] = "included";
  EXPECT_DOUBLE_EQ(read(text, relative).line->table.rows()[1].angle.deg(), 135.0);
  relative["units"] = "in";
  EXPECT_DOUBLE_EQ(read(text, relative).line->table.rows()[1].straight_mm, 80.0 * 25.4);
}

// What makes no difference is not asked: right angles, and planes that turn once.
TEST(TableRead, DoesNotAskWhatMakesNoDifference) {
  EXPECT_EQ(asked(read("Length (mm);Rotation;Angle;CLR\n100;0;90;50\n80;90;90;50\n50\n")), Codes());
  EXPECT_EQ(
      asked(read("Length (mm);Rotation;Angle;CLR\n100;0;90;50\n80;90;90;50\n80;90;90;50\n50\n")),
      Codes({"ask.rotation"}));
  // 200 degrees cannot lie between two legs.
  EXPECT_EQ(asked(read("Length (mm);Angle;CLR\n100;200;50\n80;60;50\n50\n")), Codes());
}

// A comma with three digits behind it is asked about; other cells can settle it.
TEST(TableRead, AsksAboutDecimalsAndThousands) {
  const std::string doubtful = "X [mm];Y [mm];R [mm]\n0;0;\n1,250;0;50\n1,250;2,500;\n";
  EXPECT_EQ(asked(read(doubtful)), Codes({"ask.decimal"}));
  EXPECT_NEAR(read(doubtful, {{"decimal", "point"}}).line->table.rows()[0].straight_mm, 1200, 1e-9);
  EXPECT_EQ(code(doubtful, {{"decimal", "comma"}}), "");
  EXPECT_EQ(asked(read("X [mm];Y [mm];R [mm]\n0;0;\n1,250;0;50\n1,250;90,5;\n")), Codes());
  EXPECT_EQ(asked(read("X [mm];Y [mm];R [mm]\n0.000;0;\n1.250;0;0.1\n1.250;2.500;\n")), Codes());
  EXPECT_EQ(asked(read("X [mm];Y [mm];R [mm]\n0;0;\n12.5;0;5\n12,5;90;\n")),
            Codes({"ask.decimal"}));
  // Between commas a point can only be a decimal point.
  EXPECT_EQ(asked(read("X [mm],Y [mm],R [mm]\n0,0,\n1.250,0,0.1\n1.250,2.500,\n")), Codes());
}

// Pasted cells without a heading: the columns are asked for and can be named.
TEST(TableRead, AsksForTheColumnsOfAPaste) {
  const std::string paste = "0\t0\t0\n400\t0\t0\n400\t300\t0\n";
  EXPECT_EQ(asked(read(paste)), Codes({"ask.columns"}));
  const LineReading r = read(paste, {{"columns", "x,y,z"}, {"units", "mm"}, {"radius", "2 in"}});
  ASSERT_EQ(asked(r), Codes());
  EXPECT_DOUBLE_EQ(r.line->table.rows()[0].radius_mm, 50.8);
  EXPECT_EQ(code(paste, {{"columns", "foo,bar"}}), "ask.choice");
}

// Units stand in the heading, in a row of their own, above the table, or in every cell.
TEST(TableRead, FindsUnits) {
  const auto first_mm = [](const LineReading& r) { return r.line->table.rows()[0].straight_mm; };
  EXPECT_DOUBLE_EQ(first_mm(read("Units: inch\nX,Y,R\n0,0,\n10,0,2\n10,10,\n")), 8 * 25.4);
  EXPECT_DOUBLE_EQ(first_mm(read("X,Y,R\nin,in,in\n0,0,\n10,0,2\n10,10,\n")), 8 * 25.4);
  EXPECT_NEAR(first_mm(read("X;Y;R\n0;0;\n10\";0;2\"\n10\";10\";\n")), 8 * 25.4, 1e-9);
  EXPECT_EQ(read("X (in),Y (in),R (in)\n0,0,\n10,0,2\n10,10,\n").unit, base::LengthUnit::kInch);
  EXPECT_EQ(code("X [mm],Y [in],R\n0,0,\n10,0,2\n10,10,\n"), "table.columns");
}

// One table may hold many parts; which one is asked, and answered by name.
TEST(TableRead, PicksAPart) {
  const std::string text = "Part,X mm,Y mm,R mm\nA,0,0,\nA,100,0,20\nA,100,100,\nB,0,0,\nB,70,0,\n";
  EXPECT_EQ(asked(read(text)), Codes({"ask.part"}));
  const LineReading b = read(text, {{"part", "B"}});
  ASSERT_EQ(asked(b), Codes());
  EXPECT_EQ(b.name, "B");
  EXPECT_DOUBLE_EQ(b.line->table.last_straight_mm(), 70.0);
  EXPECT_EQ(code(text, {{"part", "C"}}), "ask.choice");
}

// A last row that is a bend leaves the last straight open.
TEST(TableRead, AsksForTheLastStraight) {
  const std::string text = "Straight mm,Bend angle,CLR\n100,90,50\n80,45,50\n";
  EXPECT_EQ(asked(read(text)), Codes({"ask.last"}));
  EXPECT_DOUBLE_EQ(read(text, {{"last", "35"}}).line->table.last_straight_mm(), 35.0);
  EXPECT_EQ(code(text, {{"last", "far"}}), "ask.length");
}

// Rotations of the other hand give the mirror image, and a part in space says which was taken.
TEST(TableRead, SaysWhichHand) {
  const std::string text =
      "Straight mm,Rotation rel,Bend angle,CLR\n100,0,90,50\n80,90,45,50\n50\n";
  const LineReading right = read(text);
  const LineReading left = read(text, {{"hand", "left"}});
  EXPECT_EQ(left.line->table, right.line->table.mirrored());
  EXPECT_TRUE(std::any_of(right.line->findings.begin(), right.line->findings.end(),
                          [](const part::Finding& f) { return f.code == "table.hand"; }));
  EXPECT_EQ(code(text, {{"hand", "both"}}), "ask.choice");
}

// Radii to the inside need the tube's size, and grow by half of it.
TEST(TableRead, ReadsInsideRadii) {
  const std::string text = "X mm,Y mm,Innenradius mm\n0,0,\n200,0,40\n200,200,\n";
  EXPECT_EQ(code(text), "table.inside-radius");
  LineOptions options;
  options.section_height_mm = 20.0;
  EXPECT_DOUBLE_EQ(read_table(text, "f", options)->line->table.rows()[0].radius_mm, 50.0);
}

// Points and bends in one table: a person says which counts.
TEST(TableRead, AsksWhichOfTwoTables) {
  const std::string text =
      "X mm,Y mm,Length mm,Angle,CLR mm\n0,0,100,90,50\n150,0,50,,\n150,100,,,\n";
  EXPECT_EQ(asked(read(text)), Codes({"ask.table"}));
}

// Nonsense gets a sentence and a code.
TEST(TableRead, RefusesNonsense) {
  EXPECT_EQ(code(""), "table.empty");
  EXPECT_EQ(code("hello\nthere\n"), "table.rows");
  EXPECT_EQ(code("X mm,Y mm\n"), "table.rows");
  EXPECT_EQ(code("X mm,Y mm\n1,nan\n"), "table.cell");
  EXPECT_EQ(code("X mm,Y mm\n1,\n"), "table.cell");
  EXPECT_EQ(code("X mm,Y mm\n1,2,3\n"), "table.ragged");
  EXPECT_EQ(code("X mm,Y mm,X mm\n1,2,3\n"), "table.columns");
  EXPECT_EQ(code("X mm,Y mm,R mm\n0,0,\n0,0,\n"), "table.few");
  EXPECT_EQ(code("X mm,Y mm,R mm\n0,0,\n100,0,5\n50,0,\n"), "corners.reversal");
  EXPECT_EQ(code("Straight mm,Bend angle,CLR\n100,,50\n80,45,50\n20\n"), "table.cell");
  EXPECT_EQ(code("Straight mm,Bend angle,CLR\n100,400,50\n20\n"), "table.angle");
  std::string many = "X mm,Y mm,R mm\n";
  for (int i = 0; i < 5000; ++i) many += std::to_string(i) + "," + std::to_string(i % 2) + ",1\n";
  EXPECT_EQ(code(many), "table.many");
  EXPECT_EQ(code(std::string(10'000'000, 'x')), "table.size");
  EXPECT_EQ(code(std::string("X\0Y", 3)), "table.binary");
}

}  // namespace
}  // namespace bight::exchange
