// Ends a build: tells the service worker which files make the page (assets.json) and which build it
// serves; then adds up what a first visit fetches before anything is drawn - index.html, its script,
// everything that script imports at once, the styles, and the first page. Fails above the limit.
import { createHash } from "node:crypto";
import { readFileSync, readdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { gzipSync } from "node:zlib";

const limit = 350 * 1024;
const dist = new URL("../dist/", import.meta.url).pathname;
const seen = new Map();

const assets = readdirSync(join(dist, "assets")).sort().map((name) => `./assets/${name}`);
const index = readFileSync(join(dist, "index.html"));
const build = createHash("sha256").update(JSON.stringify(assets)).update(index).digest("hex").slice(0, 16);
writeFileSync(join(dist, "assets.json"), JSON.stringify({ build, assets }));
const worker = readFileSync(join(dist, "sw.js"), "utf8");
if (!worker.includes("BUILD_OF_THE_PAGE")) throw new Error("sw.js does not say which build it is");
writeFileSync(join(dist, "sw.js"), worker.replace("BUILD_OF_THE_PAGE", build));

function take(path) {
  if (seen.has(path)) return;
  const bytes = readFileSync(join(dist, path));
  seen.set(path, gzipSync(bytes).length);
  if (!path.endsWith(".js")) return;
  for (const found of bytes.toString().matchAll(/(?:from|import)\s*["']\.\/([^"']+)["']/g)) {
    take(`assets/${found[1]}`);
  }
}

seen.set("index.html", gzipSync(readFileSync(join(dist, "index.html"))).length);
const html = readFileSync(join(dist, "index.html"), "utf8");
if (/<script(?![^>]*\bsrc=)/.test(html) || /\son\w+=/.test(html) || /<style/.test(html)) {
  throw new Error("index.html has a script or style of its own; the content policy forbids it");
}
for (const found of html.matchAll(/(?:src|href)="\.\/(assets\/[^"]+)"/g)) take(found[1]);
// The page of jobs is what opens first; its file is named after its folder's Page.
for (const name of readdirSync(join(dist, "assets"))) {
  if (!/^Page-.*\.(js|css)$/.test(name)) continue;
  const text = readFileSync(join(dist, "assets", name), "utf8");
  if (text.includes("bight.words") || name.endsWith(".css")) take(`assets/${name}`);
}
const total = [...seen.values()].reduce((a, b) => a + b, 0);
console.log(`first load: ${(total / 1024).toFixed(1)} kB gzip of ${limit / 1024} kB allowed`);
if (total > limit) process.exit(1);
