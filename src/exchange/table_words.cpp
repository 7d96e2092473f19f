#include "exchange/table_words.h"

#include <algorithm>
#include <unordered_map>
#include <vector>

#include "exchange/table_text.h"

namespace bight::exchange {

namespace {

// Headings as folded() gives them.
constexpr std::pair<std::string_view, Role> kRoleWords[] = {  // Points.
    {"x", Role::kX},
    {"y", Role::kY},
    {"z", Role::kZ},
    // Counting columns.
    {"no", Role::kNumber},
    {"nr", Role::kNumber},
    {"num", Role::kNumber},
    {"n", Role::kNumber},
    {"number", Role::kNumber},
    {"pos", Role::kNumber},
    {"point", Role::kNumber},
    {"point no", Role::kNumber},
    {"pt", Role::kNumber},
    {"corner", Role::kNumber},
    {"vertex", Role::kNumber},
    {"ip", Role::kNumber},
    {"bend no", Role::kNumber},
    {"bend number", Role::kNumber},
    {"row", Role::kNumber},
    {"step", Role::kNumber},
    {"punkt", Role::kNumber},
    {"punkt nr", Role::kNumber},
    {"nummer", Role::kNumber},
    {"biegung nr", Role::kNumber},
    {"numero", Role::kNumber},
    {"punto", Role::kNumber},
    {"punt", Role::kNumber},
    {"lp", Role::kNumber},
    // Which part.
    {"part", Role::kPart},
    {"part no", Role::kPart},
    {"part number", Role::kPart},
    {"part name", Role::kPart},
    {"item", Role::kPart},
    {"teil", Role::kPart},
    {"teilenummer", Role::kPart},
    {"teile nr", Role::kPart},
    {"piece", Role::kPart},
    {"pieza", Role::kPart},
    {"pezzo", Role::kPart},
    {"onderdeel", Role::kPart},
    {"czesc", Role::kPart},
    // Straights.
    {"l", Role::kStraight},
    {"dbb", Role::kStraight},
    {"length", Role::kStraight},
    {"straight", Role::kStraight},
    {"straight length", Role::kStraight},
    {"straight before", Role::kStraight},
    {"tangent length", Role::kStraight},
    {"distance between bends", Role::kStraight},
    {"feed", Role::kStraight},
    {"lange", Role::kStraight},
    {"laenge", Role::kStraight},
    {"gerade", Role::kStraight},
    {"gerade lange", Role::kStraight},
    {"vorschub", Role::kStraight},
    {"longueur", Role::kStraight},
    {"longueur droite", Role::kStraight},
    {"avance", Role::kStraight},
    {"longitud", Role::kStraight},
    {"recto", Role::kStraight},
    {"tramo recto", Role::kStraight},
    {"lunghezza", Role::kStraight},
    {"tratto rettilineo", Role::kStraight},
    {"rettilineo", Role::kStraight},
    {"avanzamento", Role::kStraight},
    {"lengte", Role::kStraight},
    {"rechte lengte", Role::kStraight},
    {"dlugosc", Role::kStraight},
    {"dlugosc prosta", Role::kStraight},
    {"odcinek prosty", Role::kStraight},
    {"posuw", Role::kStraight},
    // Turns of the plane.
    {"rotation", Role::kRotation},
    {"rotate", Role::kRotation},
    {"rot", Role::kRotation},
    {"twist", Role::kRotation},
    {"plane of bend", Role::kRotation},
    {"pob", Role::kRotation},
    {"rotation angle", Role::kRotation},
    {"verdrehung", Role::kRotation},
    {"verdrehwinkel", Role::kRotation},
    {"drehung", Role::kRotation},
    {"drehwinkel", Role::kRotation},
    {"rotacion", Role::kRotation},
    {"giro", Role::kRotation},
    {"rotazione", Role::kRotation},
    {"angolo di rotazione", Role::kRotation},
    {"angle de rotation", Role::kRotation},
    {"angulo de rotacion", Role::kRotation},
    {"angulo de giro", Role::kRotation},
    {"rotatie", Role::kRotation},
    {"verdraaiing", Role::kRotation},
    {"obrot", Role::kRotation},
    {"kat obrotu", Role::kRotation},
    // Angles that do not say which.
    {"angle", Role::kAngle},
    {"a", Role::kAngle},
    {"winkel", Role::kAngle},
    {"angulo", Role::kAngle},
    {"angolo", Role::kAngle},
    {"hoek", Role::kAngle},
    {"kat", Role::kAngle},
    // Change of direction.
    {"bend", Role::kBendWord},
    {"bend angle", Role::kBendAngle},
    {"bending angle", Role::kBendAngle},
    {"angle of bend", Role::kBendAngle},
    {"degree of bend", Role::kBendAngle},
    {"dob", Role::kBendAngle},
    {"biegewinkel", Role::kBendAngle},
    {"biegung", Role::kBendWord},
    {"angle de cintrage", Role::kBendAngle},
    {"cintrage", Role::kBendWord},
    {"angulo de curvado", Role::kBendAngle},
    {"angulo de doblado", Role::kBendAngle},
    {"curvado", Role::kBendWord},
    {"angolo di curvatura", Role::kBendAngle},
    {"angolo di piega", Role::kBendAngle},
    {"buighoek", Role::kBendAngle},
    {"buigingshoek", Role::kBendAngle},
    {"kat giecia", Role::kBendAngle},
    // Included angles.
    {"included angle", Role::kIncluded},
    {"included", Role::kIncluded},
    {"inside angle", Role::kIncluded},
    {"interior angle", Role::kIncluded},
    {"innenwinkel", Role::kIncluded},
    {"offnungswinkel", Role::kIncluded},
    {"eingeschlossener winkel", Role::kIncluded},
    {"angle interieur", Role::kIncluded},
    {"angulo interior", Role::kIncluded},
    {"angolo interno", Role::kIncluded},
    {"binnenhoek", Role::kIncluded},
    {"ingesloten hoek", Role::kIncluded},
    {"kat wewnetrzny", Role::kIncluded},
    // Radii.
    {"clr", Role::kRadius},
    {"radius", Role::kRadius},
    {"radii", Role::kRadius},
    {"bend radius", Role::kRadius},
    {"bending radius", Role::kRadius},
    {"centreline radius", Role::kRadius},
    {"centerline radius", Role::kRadius},
    {"centre line radius", Role::kRadius},
    {"center line radius", Role::kRadius},
    {"biegeradius", Role::kRadius},
    {"mittlerer radius", Role::kRadius},
    {"rayon", Role::kRadius},
    {"rayon de cintrage", Role::kRadius},
    {"rayon de courbure", Role::kRadius},
    {"radio", Role::kRadius},
    {"radio de curvado", Role::kRadius},
    {"radio de curvatura", Role::kRadius},
    {"raggio", Role::kRadius},
    {"raggio di curvatura", Role::kRadius},
    {"raggio di piega", Role::kRadius},
    {"straal", Role::kRadius},
    {"buigstraal", Role::kRadius},
    {"buigradius", Role::kRadius},
    {"promien", Role::kRadius},
    {"promien giecia", Role::kRadius},
    {"inside radius", Role::kInsideRadius},
    {"inner radius", Role::kInsideRadius},
    {"innenradius", Role::kInsideRadius},
    {"rayon interieur", Role::kInsideRadius},
    {"radio interior", Role::kInsideRadius},
    {"raggio interno", Role::kInsideRadius},
    {"binnenstraal", Role::kInsideRadius},
    {"binnenradius", Role::kInsideRadius},
    {"promien wewnetrzny", Role::kInsideRadius},
    // Letters that take their meaning from the columns beside them.
    {"r", Role::kLetterR},
    {"b", Role::kLetterB},
    {"c", Role::kLetterC}};

constexpr std::pair<std::string_view, TableUnit> kUnitWords[] = {
    {"mm", TableUnit::kMillimetre},
    {"millimetre", TableUnit::kMillimetre},
    {"millimetres", TableUnit::kMillimetre},
    {"millimeter", TableUnit::kMillimetre},
    {"millimeters", TableUnit::kMillimetre},
    {"millimetri", TableUnit::kMillimetre},
    {"milimetros", TableUnit::kMillimetre},
    {"milimetry", TableUnit::kMillimetre},
    {"cm", TableUnit::kCentimetre},
    {"m", TableUnit::kMetre},
    {"in", TableUnit::kInch},
    {"inch", TableUnit::kInch},
    {"inches", TableUnit::kInch},
    {"zoll", TableUnit::kInch},
    {"pouce", TableUnit::kInch},
    {"pouces", TableUnit::kInch},
    {"pulgada", TableUnit::kInch},
    {"pulgadas", TableUnit::kInch},
    {"pollice", TableUnit::kInch},
    {"pollici", TableUnit::kInch},
    {"duim", TableUnit::kInch},
    {"cal", TableUnit::kInch},
    {"cale", TableUnit::kInch},
    {"ft", TableUnit::kFoot},
    {"foot", TableUnit::kFoot},
    {"feet", TableUnit::kFoot},
    {"deg", TableUnit::kDegree},
    {"degree", TableUnit::kDegree},
    {"degrees", TableUnit::kDegree},
    {"grad", TableUnit::kDegree},
    {"grado", TableUnit::kDegree},
    {"grados", TableUnit::kDegree},
    {"gradi", TableUnit::kDegree},
    {"graden", TableUnit::kDegree},
    {"degre", TableUnit::kDegree},
    {"degres", TableUnit::kDegree},
    {"stopnie", TableUnit::kDegree},
    {"stopni", TableUnit::kDegree},
    {"rad", TableUnit::kRadian},
    {"radian", TableUnit::kRadian},
    {"radians", TableUnit::kRadian}};

const std::unordered_map<std::string_view, Role>& role_words() {
  static const std::unordered_map<std::string_view, Role> kWords(std::begin(kRoleWords),
                                                                 std::end(kRoleWords));
  return kWords;
}

const std::unordered_map<std::string_view, TableUnit>& unit_words() {
  static const std::unordered_map<std::string_view, TableUnit> kUnits(std::begin(kUnitWords),
                                                                      std::end(kUnitWords));
  return kUnits;
}

bool one_of(std::string_view word, std::initializer_list<std::string_view> words) {
  return std::find(words.begin(), words.end(), word) != words.end();
}

bool says_absolute(std::string_view word) {
  return one_of(
      word, {"abs", "absolute", "absolut", "absolu", "absolue", "absoluto", "absoluta", "assoluto",
             "assoluta", "absoluut", "absolute", "bezwzgledny", "bezwzgledna"});
}

bool says_relative(std::string_view word) {
  return one_of(word, {"rel", "relative", "relativ", "relatif", "relativo", "relativa", "relatief",
                       "relatieve", "wzgledny", "wzgledna", "incremental", "inkremental"});
}

bool says_coordinate(std::string_view word) {
  return one_of(word, {"coord", "coordinate", "koordinate", "coordonnee", "coordenada",
                       "coordinata", "coordinaat", "wspolrzedna", "position", "axis", "achse",
                       "axe", "eje", "asse", "os", "value", "wert"});
}

std::vector<std::string_view> split(std::string_view words) {
  std::vector<std::string_view> out;
  while (!words.empty()) {
    const std::size_t end = words.find(' ');
    out.push_back(words.substr(0, end));
    if (end == std::string_view::npos) break;
    words.remove_prefix(end + 1);
  }
  return out;
}

}  // namespace

std::optional<TableUnit> unit_of_word(std::string_view word) {
  const auto found = unit_words().find(word);
  if (found == unit_words().end()) return std::nullopt;
  return found->second;
}

std::string_view word(TableUnit unit) {
  switch (unit) {
    case TableUnit::kMillimetre:
      return "mm";
    case TableUnit::kCentimetre:
      return "cm";
    case TableUnit::kMetre:
      return "m";
    case TableUnit::kInch:
      return "in";
    case TableUnit::kFoot:
      return "ft";
    case TableUnit::kDegree:
      return "deg";
    case TableUnit::kRadian:
      return "rad";
  }
  return "";
}

bool is_length(TableUnit unit) { return unit != TableUnit::kDegree && unit != TableUnit::kRadian; }

Heading read_heading(std::string_view cell) {
  Heading heading;
  const std::string text = folded(cell);
  std::vector<std::string_view> words = split(text);
  // A word that is a whole heading is no unit: "rad" beside nothing else would be.
  if (words.size() > 1) {
    heading.unit = unit_of_word(words.back());
    if (heading.unit) {
      words.pop_back();
      // "Länge in mm": the word before the unit is no inch.
      if (words.size() > 1 && words.back() == "in") words.pop_back();
    }
  }
  std::string name;
  bool coordinate = false;
  for (const std::string_view word : words) {
    if (says_absolute(word)) {
      heading.absolute = true;
    } else if (says_relative(word)) {
      heading.absolute = false;
    } else if (says_coordinate(word)) {
      coordinate = true;
    } else {
      name += (name.empty() ? "" : " ") + std::string(word);
    }
  }
  const auto found = role_words().find(name);
  if (found != role_words().end()) heading.role = found->second;
  const bool axis =
      heading.role == Role::kX || heading.role == Role::kY || heading.role == Role::kZ;
  if (coordinate && !axis) heading.role = Role::kUnknown;
  return heading;
}

}  // namespace bight::exchange
