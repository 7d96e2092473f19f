// A browser as a person has it: Debian's chromium, drawn by software, kept to this machine.
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { chromium } from "playwright-core";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

const flags = [
  "--headless",
  "--no-sandbox",
  "--disable-gpu",
  "--disable-quic",
  "--no-first-run",
  "--disable-background-networking",
  "--disable-component-update",
  "--disable-sync",
  "--use-angle=swiftshader",
  "--enable-unsafe-swiftshader",
];

export async function openBrowser() {
  const executablePath = process.env.BIGHT_CHROMIUM ?? "/usr/bin/chromium";
  return chromium.launch({ executablePath, args: flags, timeout: 120_000 });
}

// One person's browser: own storage, own size. Every address asked for is kept, and what goes wrong
// on the page makes the story fail.
export async function person(browser, base, how = {}) {
  const context = await browser.newContext({
    viewport: how.viewport ?? { width: 1366, height: 768 },
    hasTouch: how.touch ?? false,
    colorScheme: how.dark ? "dark" : "light",
    reducedMotion: "reduce",
    locale: how.locale ?? "en-GB",
    acceptDownloads: true,
  });
  context.setDefaultTimeout(30_000);
  const page = await context.newPage();
  const troubles = [];
  const asked = new Set();
  page.on("pageerror", (error) => troubles.push(`page error: ${error.message}`));
  page.on("console", (message) => {
    const text = message.text();
    if (message.type() === "error" && !/Failed to load resource|EventSource/.test(text)) {
      troubles.push(`console: ${text}`);
    }
  });
  page.on("request", (request) => asked.add(request.url()));
  return { context, page, troubles, asked, base };
}

// Serious findings of axe-core on the page as it stands, in words.
export async function seriousFindings(page) {
  await page.evaluate(axe);
  const found = await page.evaluate(() => globalThis.axe.run({ resultTypes: ["violations"] }));
  return found.violations
    .filter((one) => one.impact === "serious" || one.impact === "critical")
    .map((one) => `${one.id}: ${one.nodes[0].target.join(" ")}`);
}
