// A request and its reply, free of any server: what handlers, tests and fuzzers see.
#pragma once

#include <cstddef>
#include <functional>
#include <map>
#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "base/length.h"
#include "base/result.h"
#include "exchange/document.h"

namespace bight::service {

struct Request {
  std::string method;              // "GET"
  std::string path;                // below /api/v1, decoded: "/records/part/rail"
  std::vector<std::string> holes;  // what stood where the route has {…}, in order
  std::multimap<std::string, std::string> query;
  std::map<std::string, std::string> headers;  // names in small letters
  std::string body;
  std::string from;  // address of who asks

  std::string header(const std::string& name) const;  // "" when absent
  std::optional<std::string> asked(const std::string& key) const;
};

// Where a stream of unknown length goes.
struct Sink {
  std::function<bool(std::string_view)> write;  // false: nobody listens any more
  std::function<bool()> stopping;               // the server is about to end
};

struct Reply {
  int status = 200;
  std::string type = "application/json";
  std::string body;
  std::vector<std::pair<std::string, std::string>> headers;
  // Instead of a body; runs until it returns.
  std::function<void(Sink&)> stream;
};

Reply json_reply(const nlohmann::ordered_json& json, int status = 200);
Reply bytes_reply(std::string bytes, std::string type);
// {"error": …} with the status that belongs to the code.
Reply failed(const base::Failure& failure);
Reply failed(const base::Failure& failure, int status);
// {"error": the first, "errors": all}. @pre not empty.
Reply failed(const std::vector<base::Failure>& failures, int status = 422);

// The HTTP status of a failure's code: 404 for what is not there, 412 for a conflict, 503 for a
// store that is busy, 422 for everything a person can mend.
int status_of(std::string_view code);

// {"code", "where", "message", "remedy"}. Places in a table of bends are cells, counted from zero:
// "line.bends, bend 3" becomes "line.bends[2]".
nlohmann::ordered_json complaint_json(const base::Failure& failure);
nlohmann::ordered_json complaints_json(const std::vector<base::Failure>& failures);

// The body as one JSON object, for exchange::Fields. An empty body is an empty object.
// Failure codes: request.json (not JSON, not UTF-8, nested too deeply), request.object.
base::Result<exchange::Document> read_body(const Request& request);

// A request whose body says more than another operation reads: those keys apart from the rest.
struct Beside {
  exchange::Document keys;
  Request rest;  // the request without them
};
// Failure codes: those of read_body.
base::Result<Beside> keys_beside(const Request& request, const std::vector<std::string>& keys);

// A whole number of the query within bounds. Failure codes: request.query.
base::Result<long> asked_whole(const Request& request, const std::string& key, long otherwise,
                               long least, long most);
// One of the words, the first when not asked. Failure codes: request.query.
base::Result<std::string> asked_word(const Request& request, const std::string& key,
                                     const std::vector<std::string>& words);
// Refuses keys of the query that nobody reads. Failure codes: request.query.
base::Status only_asked(const Request& request, const std::vector<std::string>& keys);

// "mm", "in", "in/16", "in/32", "in/64"; empty: the unit given. Failure codes: request.units.
base::Result<base::LengthStyle> style_of(const std::string& units, base::LengthUnit own);

// Text with %41 and the like decoded; broken escapes stay.
std::string decoded(std::string_view text);

}  // namespace bight::service
