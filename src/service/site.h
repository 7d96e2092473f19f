// The page's files as they travel inside the program.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/embedded.h"
#include "service/request.h"

namespace bight::service {

// One file of the page: "assets/main-3f9c2b1a.js", and the same packed where that is smaller.
struct SiteFile {
  std::string_view name;
  std::string_view bytes;
  std::string gzip;  // empty: not worth it
  std::string tag;   // ETag
};

class Site {
 public:
  // Without files, a plain text page says how to build it.
  explicit Site(const std::vector<embedded::File>& files);

  bool empty() const { return files_.empty(); }
  // The file of this path, or index.html for a path of the page's own ("/jobs", no ending).
  // 304 where the browser has it, 404 for what is not there.
  Reply answer(std::string_view path, const Request& request) const;

 private:
  const SiteFile* find(std::string_view path) const;
  std::map<std::string_view, SiteFile> files_;
};

// "text/javascript; charset=utf-8" and the like, by the name's ending.
std::string media_type(std::string_view name);

// Names with a hash of eight or more letters and digits before the ending never change.
bool has_hash(std::string_view name);

// Headers of every reply of the server: no script but the page's own files, no other host, no
// frames around it, no guessing of types.
std::vector<std::pair<std::string, std::string>> guard_headers();

// The bytes as a gzip file (RFC 1952); empty where zlib has no memory.
std::string gzipped(std::string_view bytes);

}  // namespace bight::service
