// While working on the page: serves a folder in place of the page inside the program, and hands
// everything else on to it. Stories of a check go to the program alone.
import http from "node:http";
import { existsSync, readFileSync, statSync } from "node:fs";
import path from "node:path";

const types = {
  ".html": "text/html",
  ".js": "text/javascript",
  ".css": "text/css",
  ".svg": "image/svg+xml",
  ".webmanifest": "application/manifest+json",
};

export function openFront(folder, program) {
  const to = new URL(program());
  const server = http.createServer((asked, answer) => {
    const where = new URL(asked.url, "http://front").pathname;
    const file = path.join(folder, where === "/" ? "index.html" : path.normalize(where));
    if (!where.startsWith("/api") && existsSync(file) && statSync(file).isFile()) {
      answer.writeHead(200, { "Content-Type": types[path.extname(file)] ?? "application/octet-stream" });
      answer.end(readFileSync(file));
      return;
    }
    const headers = { ...asked.headers, host: to.host };
    if (headers.origin) headers.origin = to.origin;
    const on = http.request(
      { host: to.hostname, port: to.port, path: asked.url, method: asked.method, headers },
      (got) => {
        answer.writeHead(got.statusCode, got.headers);
        got.pipe(answer);
        got.on("error", () => answer.destroy());
        got.on("aborted", () => answer.destroy());
      },
    );
    on.on("error", () => answer.destroy());
    answer.on("close", () => on.destroy());
    asked.pipe(on);
  });
  return new Promise((done) => {
    server.listen(0, "127.0.0.1", () => {
      const close = () => {
        server.closeAllConnections();
        server.close();
      };
      done({ address: `http://127.0.0.1:${server.address().port}`, close });
    });
  });
}
