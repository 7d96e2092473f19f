// The JSON files of an archive: docs/formats/archive.md.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "base/result.h"
#include "records/record.h"
#include "records/store.h"

namespace bight::records {

// What a file holds is not what an archive holds: archive.content.
base::Failure bad_content(const std::string& where, std::string message);

// What bight.json says.
struct Manifest {
  std::optional<RecordId> part;  // the one job; none: the whole shop
  Inventory inventory;
};

std::string manifest_json(const Manifest& manifest);
// Failure codes: archive.content, archive.newer.
base::Result<Manifest> read_manifest(const std::string& text);

// One record with all its revisions. Reading it back gives the same, down to the bytes of each
// document.
std::string bundle_json(const Bundle& bundle);
// `where` names the file in failures. Failure codes: archive.content.
base::Result<Bundle> read_bundle(const std::string& text, const std::string& where);

// 2026-03-01T10:15:00.250Z. @pre from 1970 to 9999.
std::string instant_text(Instant at);
// Exactly that form. Failure codes: archive.content.
base::Result<Instant> read_instant(std::string_view text);

}  // namespace bight::records
