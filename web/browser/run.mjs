// Tells the stories of the page in a real browser against the real program. One line a story, then
// "N passed, N failed". With words as arguments only the stories whose names hold one of them.
import { mkdirSync } from "node:fs";
import path from "node:path";
import { openBrowser, person } from "./browser.mjs";
import { Server } from "./server.mjs";
import { benchStories } from "./bench_stories.mjs";
import { carryStories } from "./carry_stories.mjs";
import { deskStories } from "./desk_stories.mjs";
import { lookStories } from "./look_stories.mjs";
import { planStories } from "./plan_stories.mjs";
import { runStories } from "./run_stories.mjs";
import { shopStories } from "./shop_stories.mjs";

const root = path.resolve(import.meta.dirname, "../..");
const shots = process.env.BIGHT_SHOTS ?? path.join(root, "out/page");
const wanted = process.argv.slice(2);

async function tell(browser, story) {
  const server = new Server();
  const people = [];
  try {
    await server.start();
    const enter = async (how) => {
      const one = await person(browser, server.address, how);
      people.push(one);
      return one;
    };
    const late = new Promise((_, failed) => {
      setTimeout(() => failed(new Error("not at its end after three minutes")), 180_000).unref();
    });
    await Promise.race([story.tell({ server, enter, shots }), late]);
    for (const one of people) {
      if (one.troubles.length > 0 && !story.troubled) throw new Error(one.troubles.join("; "));
      // No request to any other host, ever.
      const strange = [...one.asked].filter((url) => !/^(blob|data):/.test(url) && !url.startsWith(server.address));
      if (strange.length > 0) throw new Error(`asked elsewhere: ${strange[0]}`);
    }
    return "";
  } catch (error) {
    for (const [index, one] of people.entries()) {
      const name = `failed-${story.name.replace(/\W+/g, "-")}-${index + 1}.png`;
      await one.page.screenshot({ path: path.join(shots, name) }).catch(() => undefined);
    }
    return String(error.message ?? error).split("\n").slice(0, 24).join(" | ");
  } finally {
    for (const one of people) await one.context.close().catch(() => undefined);
    await server.end();
  }
}

mkdirSync(shots, { recursive: true });
const browser = await openBrowser();
let passed = 0;
let failed = 0;
const told = [...deskStories, ...planStories, ...carryStories, ...benchStories, ...runStories, ...shopStories, ...lookStories].filter(
  (story) => wanted.length === 0 || wanted.some((word) => story.name.includes(word)),
);
for (const story of told) {
  const begun = Date.now();
  const why = await tell(browser, story).catch((error) => String(error.message ?? error));
  const seconds = ((Date.now() - begun) / 1000).toFixed(1);
  if (why === "") ++passed;
  else ++failed;
  console.log(`${why === "" ? "ok  " : "FAIL"} ${story.name} (${seconds} s)${why ? `: ${why}` : ""}`);
}
await browser.close();
console.log(`${passed} passed, ${failed} failed`);
process.exitCode = failed > 0 || told.length === 0 ? 1 : 0;
