#include "service/site.h"

#include <fmt/format.h>
#include <zlib.h>

#include <algorithm>
#include <array>

#include "records/record.h"

namespace bight::service {

namespace {

constexpr std::string_view kNoPage =
    "Bight is running, without its page: this program was built before the page was.\n"
    "\n"
    "    tools/build_page.sh && cmake --build build/release\n"
    "\n"
    "builds both. The service answers under /api/v1; /api/v1/openapi.yaml describes it.\n";

bool packs_well(std::string_view type) {
  return type.starts_with("text/") || type.find("json") != std::string_view::npos ||
         type.find("svg") != std::string_view::npos || type.find("wasm") != std::string_view::npos;
}

bool accepts_gzip(const Request& request) {
  return request.header("accept-encoding").find("gzip") != std::string::npos;
}

}  // namespace

std::string media_type(std::string_view name) {
  static const std::map<std::string_view, std::string> kTypes = {
      {"html", "text/html; charset=utf-8"},
      {"js", "text/javascript; charset=utf-8"},
      {"mjs", "text/javascript; charset=utf-8"},
      {"css", "text/css; charset=utf-8"},
      {"json", "application/json"},
      {"webmanifest", "application/manifest+json"},
      {"map", "application/json"},
      {"svg", "image/svg+xml"},
      {"png", "image/png"},
      {"jpg", "image/jpeg"},
      {"webp", "image/webp"},
      {"ico", "image/x-icon"},
      {"woff2", "font/woff2"},
      {"wasm", "application/wasm"},
      {"pdf", "application/pdf"},
      {"txt", "text/plain; charset=utf-8"}};
  const std::size_t dot = name.rfind('.');
  if (dot == std::string_view::npos) return "application/octet-stream";
  const auto found = kTypes.find(name.substr(dot + 1));
  return found == kTypes.end() ? "application/octet-stream" : found->second;
}

bool has_hash(std::string_view name) {
  if (!name.starts_with("assets/")) return false;
  const std::size_t dot = name.rfind('.');
  const std::size_t dash = name.rfind('-', dot);
  return dot != std::string_view::npos && dash != std::string_view::npos && dot - dash > 8;
}

std::vector<std::pair<std::string, std::string>> guard_headers() {
  return {{"Content-Security-Policy",
           "default-src 'self'; script-src 'self'; style-src 'self' 'unsafe-inline'; "
           "img-src 'self' data: blob:; worker-src 'self'; connect-src 'self'; "
           "frame-src 'self' blob:; object-src 'none'; base-uri 'none'; form-action 'self'; "
           "frame-ancestors 'self'"},
          {"X-Content-Type-Options", "nosniff"},
          {"Referrer-Policy", "no-referrer"},
          {"X-Frame-Options", "SAMEORIGIN"},
          {"Cross-Origin-Opener-Policy", "same-origin"},
          {"Cross-Origin-Resource-Policy", "same-origin"},
          {"Permissions-Policy", "camera=(self), microphone=(), geolocation=()"}};
}

std::string gzipped(std::string_view bytes) {
  z_stream stream{};
  if (deflateInit2(&stream, 9, Z_DEFLATED, 15 + 16, 9, Z_DEFAULT_STRATEGY) != Z_OK) return "";
  std::string out;
  out.resize(deflateBound(&stream, static_cast<uLong>(bytes.size())));
  stream.next_in = reinterpret_cast<Bytef*>(const_cast<char*>(bytes.data()));
  stream.avail_in = static_cast<uInt>(bytes.size());
  stream.next_out = reinterpret_cast<Bytef*>(out.data());
  stream.avail_out = static_cast<uInt>(out.size());
  const bool whole = deflate(&stream, Z_FINISH) == Z_STREAM_END;
  out.resize(whole ? stream.total_out : 0);
  deflateEnd(&stream);
  return out;
}

Site::Site(const std::vector<embedded::File>& files) {
  for (const embedded::File& file : files) {
    SiteFile mine{file.name, file.text, "", ""};
    mine.tag = "\"" + records::BlobId::of(file.text).text().substr(0, 16) + "\"";
    if (packs_well(media_type(file.name)) && file.text.size() > 512) {
      mine.gzip = gzipped(file.text);
      if (mine.gzip.size() >= file.text.size()) mine.gzip.clear();
    }
    files_[file.name] = std::move(mine);
  }
}

const SiteFile* Site::find(std::string_view path) const {
  if (path.starts_with('/')) path.remove_prefix(1);
  const auto found = files_.find(path.empty() ? "index.html" : path);
  if (found != files_.end()) return &found->second;
  // A page's own address has no ending; a file that is not there has one.
  const std::string_view last = path.substr(path.rfind('/') + 1);
  if (last.find('.') != std::string_view::npos || path.starts_with("assets/")) return nullptr;
  const auto index = files_.find("index.html");
  return index == files_.end() ? nullptr : &index->second;
}

Reply Site::answer(std::string_view path, const Request& request) const {
  Reply reply;
  if (empty()) {
    reply = bytes_reply(std::string(kNoPage), "text/plain; charset=utf-8");
    if (path != "/") reply.status = 404;
    return reply;
  }
  const SiteFile* file = find(path);
  if (file == nullptr) {
    reply = bytes_reply("There is nothing under this address.\n", "text/plain; charset=utf-8");
    reply.status = 404;
    return reply;
  }
  reply.type = media_type(file->name);
  reply.headers.emplace_back("ETag", file->tag);
  reply.headers.emplace_back("Vary", "Accept-Encoding");
  reply.headers.emplace_back(
      "Cache-Control", has_hash(file->name) ? "public, max-age=31536000, immutable" : "no-cache");
  if (request.header("if-none-match") == file->tag) {
    reply.status = 304;
    return reply;
  }
  if (!file->gzip.empty() && accepts_gzip(request)) {
    reply.body = file->gzip;
    reply.headers.emplace_back("Content-Encoding", "gzip");
  } else {
    reply.body = std::string(file->bytes);
  }
  return reply;
}

}  // namespace bight::service
