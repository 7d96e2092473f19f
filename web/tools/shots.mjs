// Writes a picture of every page, light and dark, at three sizes, from a running server:
//   node tools/shots.mjs http://127.0.0.1:8080 ../out/shots [page…]
// Fails when a page reports an error, asks another host for anything, or overflows sideways.
import { mkdirSync } from "node:fs";
import { chromium } from "playwright-core";

const [server, folder = "../out/shots", ...only] = process.argv.slice(2);
if (!server) throw new Error("usage: node tools/shots.mjs SERVER [FOLDER] [PAGE…]");
mkdirSync(folder, { recursive: true });

const sizes = { desk: [1366, 768], tablet: [1280, 800], upright: [800, 1280] };
const flags = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"];
flags.push("--disable-background-networking", "--disable-component-update", "--disable-sync");

async function json(path) {
  return (await fetch(`${server}/api/v1${path}`)).json();
}
const { parts } = await json("/parts?limit=100");
const named = (word) => (parts.find((p) => p.name.toLowerCase().includes(word)) ?? parts[0]).id;
const rail = named("pulpit");
const rack = named("rack");
const lamp = named("lamp");
const line = named("tipper");
const die = (await json("/records/die_set?limit=1")).records[0]?.id ?? "new";
const pages = {
  jobs: "jobs",
  "new-cells": "new/cells",
  "new-shape": "new/shape",
  "part-corners": `part/${rail}`,
  "part-bends": `part/${line}`,
  plan: `plan/${rack}`,
  "plan-stop": `plan/${lamp}`,
  springback: `springback/${rack}`,
  sheet: `sheet/${rail}`,
  bench: `bench/${rack}`,
  run: `run/${rack}`,
  inspect: `inspect/${rack}`,
  "shop-dies": `shop/die_set/${die}`,
  "shop-benders": "shop/bender",
  "shop-metals": "shop/metal",
  people: "people",
  history: `history/part/${rail}`,
};

const browser = await chromium.launch({ executablePath: "/usr/bin/chromium", args: flags });
let wrong = 0;
for (const [size, [width, height]] of Object.entries(sizes)) {
  for (const theme of ["light", "dark"]) {
    const context = await browser.newContext({
      viewport: { width, height },
      colorScheme: theme,
      serviceWorkers: "block",
      reducedMotion: "reduce",
    });
    const page = await context.newPage();
    const complain = (text) => {
      ++wrong;
      console.error(`${size} ${theme} ${page.url()}: ${text}`);
    };
    page.on("pageerror", (error) => complain(error.message));
    page.on("console", (message) => message.type() === "error" && complain(message.text()));
    page.on("request", (request) => {
      const address = request.url();
      if (!address.startsWith(server) && !/^(blob|data):/.test(address)) complain(`asks ${address}`);
    });
    for (const [name, place] of Object.entries(pages)) {
      if (only.length > 0 && !only.includes(name)) continue;
      await page.goto(`${server}/#/${place}`);
      await page.waitForTimeout(1200);
      await page.waitForLoadState("load");
      const over = await page.evaluate(
        () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
      );
      if (over > 1) complain(`is ${over} px too wide`);
      await page.screenshot({ path: `${folder}/${name}-${size}-${theme}.png` });
    }
    await context.close();
  }
}
await browser.close();
console.log(`${wrong === 0 ? "every page drawn" : `${wrong} complaints`}; pictures in ${folder}`);
process.exit(wrong === 0 ? 0 : 1);
