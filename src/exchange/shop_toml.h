// A shop as a folder of TOML files, or as a document for each thing it owns.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "exchange/document.h"
#include "workshop/shop.h"
#include "workshop/stock_tube.h"

namespace bight::exchange {

// The files of a shop folder. All but the first may be absent.
struct ShopTexts {
  std::string shop;            // shop.toml
  std::string benders;         // benders.toml
  std::string die_sets;        // die_sets.toml
  std::string trials;          // trials.toml
  std::string materials = {};  // materials.toml
  std::string stock = {};      // stock.toml
};

// One bender, die set, material, tube in stock or trial bend: the keys of its entry in
// docs/formats/shop.md, and schema, units and decimal_mark. Failure codes: those of fields.h,
// shop.value (a number no machine or die can have), shop.schema (a newer schema), for a bender
// those of shop_bodies.h, for a trial those of stock::find_metal, for a material those of
// stock::faults_of. Meshes of bodies are only named.
base::Result<workshop::Bender> read_bender(const Document& document);
base::Result<workshop::DieSet> read_die_set(const Document& document);
base::Result<workshop::TrialBend> read_trial(const Document& document);
base::Result<stock::OwnMetal> read_material(const Document& document);
base::Result<workshop::StockTube> read_stock_tube(const Document& document);

// The catalogue with these among it. Failure codes: those of stock::metal_of; shop.name-twice (a
// name or other name of one is another's, too), with the material's name as its place.
base::Result<KnownMetals> metals_with(const std::vector<stock::OwnMetal>& materials);

// A shop in documents; that of the shop itself holds what shop.toml does.
struct ShopDocuments {
  Document shop;
  std::vector<Document> benders;
  std::vector<Document> die_sets;
  std::vector<Document> trials;
  std::vector<Document> materials = {};
};

// Failure codes: those above, and shop.name-twice (two benders or die sets of one name).
base::Result<workshop::Shop> read_shop(const ShopDocuments& documents);

// Reads the texts; `folder` names them in messages. docs/formats/shop.md describes the keys.
// Failure codes: those above and of parse_toml.
base::Result<workshop::Shop> read_shop(const ShopTexts& texts, const std::string& folder);

// Reads a shop folder, and the meshes that its bodies name. Failure codes: file.missing (no
// shop.toml in it), those of read_shop and of read_meshes (shop_bodies.h).
base::Result<workshop::Shop> read_shop_folder(const std::string& folder);

}  // namespace bight::exchange
