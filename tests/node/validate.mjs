// validate.mjs FILE…: the Khronos group's own verdict on glTF files, one JSON line each.
import { readFileSync } from "node:fs";
import { validateBytes } from "gltf-validator";

for (const path of process.argv.slice(2)) {
  const report = await validateBytes(new Uint8Array(readFileSync(path)), { maxIssues: 20 });
  console.log(JSON.stringify({ path, issues: report.issues, info: report.info }));
}
