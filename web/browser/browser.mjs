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

// Presses Tab until the focus is where it is wanted; gives up after as many presses as a page could
// sensibly want.
export async function tabTo(page, test, arg, most = 90) {
  for (let presses = 0; presses < most; ++presses) {
    await page.keyboard.press("Tab");
    if (await page.evaluate(test, arg)) return;
  }
  throw new Error(`not reached by Tab: ${test} ${arg ?? ""}`);
}

// Goes through everything Tab reaches from the top of the page to its end: what is wrong with how the
// focus shows, what lies over it, and what a finger could not hit.
export async function focusFindings(page, most = 200) {
  await page.evaluate(() => {
    document.activeElement?.blur?.();
    scrollTo(0, 0);
    globalThis.stops = new Set();
  });
  const wrong = [];
  for (let presses = 0; presses < most; ++presses) {
    await page.keyboard.press("Tab");
    const found = await page.evaluate(() => {
      const at = document.activeElement;
      if (!at || at === document.body || globalThis.stops.has(at)) return "end";
      globalThis.stops.add(at);
      if (at.matches(".skip, main")) return "";
      const hit = at.matches("input[type=checkbox], input[type=radio], input[type=file]") ? (at.closest("label") ?? at) : at;
      const style = getComputedStyle(hit.matches(":focus-within") && hit !== at ? hit : at);
      const own = getComputedStyle(at);
      const name = `${at.tagName.toLowerCase()} "${(at.getAttribute("aria-label") ?? at.textContent ?? "").trim().slice(0, 30) || at.id || at.className}"`;
      if ([style, own].every((one) => one.outlineStyle === "none" && one.boxShadow === "none")) return `${name}: focus not seen`;
      const box = hit.getBoundingClientRect();
      const inText = at.tagName === "A" && at.closest("p") !== null && !at.classList.contains("button");
      if ((box.height < 43.5 || box.width < 43.5) && !inText && !at.matches("[role=region]")) return `${name}: ${Math.round(box.width)} x ${Math.round(box.height)}`;
      const [x, y] = [box.left + Math.min(box.width / 2, 40), box.top + Math.min(box.height / 2, 22)];
      const top = document.elementFromPoint(x, y);
      if (!top || !(hit.contains(top) || top.contains(hit))) return `${name}: under ${top?.tagName.toLowerCase()} .${top?.className}`;
      return "";
    });
    if (found === "end") return wrong;
    if (found) wrong.push(found);
  }
  return wrong;
}
