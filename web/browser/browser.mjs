// A browser as a person has it: Debian's chromium without its window, which costs twice the
// processor, drawn by software, kept to this machine.
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
  const executablePath = process.env.BIGHT_CHROMIUM ?? "/usr/bin/chromium-headless-shell";
  return chromium.launch({ executablePath, args: flags, timeout: 120_000 });
}

// One person's browser: own storage, own size. The page's service worker only where it keeps things
// (how.keeps): it fetches the whole page once more. Every address asked for is kept, and what goes wrong
// on the page makes the story fail.
export async function person(browser, base, how = {}) {
  const context = await browser.newContext({
    viewport: how.viewport ?? { width: 1366, height: 768 },
    hasTouch: how.touch ?? false,
    colorScheme: how.dark ? "dark" : "light",
    reducedMotion: "reduce",
    locale: how.locale ?? "en-GB",
    acceptDownloads: true,
    serviceWorkers: how.keeps ? "allow" : "block",
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

// In the page: what is wrong with the element that has the focus: how that shows, what a finger could
// not hit, what lies over it.
function wrongAtFocus() {
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
}

async function fromTheTop(page) {
  await page.evaluate(() => {
    document.activeElement?.blur?.();
    scrollTo(0, 0);
    globalThis.stops = new Set();
  });
}

// Goes through everything Tab reaches from the top of the page to its end, and says what is wrong.
export async function focusFindings(page, most = 200) {
  await fromTheTop(page);
  const wrong = [];
  for (let presses = 0; presses < most; ++presses) {
    await page.keyboard.press("Tab");
    const found = await page.evaluate(wrongAtFocus);
    if (found === "end") return wrong;
    if (found) wrong.push(found);
  }
  return wrong;
}

// The same of everything that takes the focus, without the keys: where there are none, as on a phone.
export async function touchFindings(page, most = 200) {
  await fromTheTop(page);
  const sweep = (wrongAt, most) => {
    const all = document.querySelectorAll("a[href], button:enabled, input:enabled, select:enabled, textarea:enabled, summary, [tabindex='0']");
    const wrong = [];
    for (const one of [...all].filter((at) => at.checkVisibility({ visibilityProperty: true })).slice(0, most)) {
      one.focus({ focusVisible: true });
      const found = document.activeElement === one ? wrongAt() : "";
      if (found && found !== "end") wrong.push(found);
    }
    return wrong;
  };
  return page.evaluate(`(${sweep})(${wrongAtFocus}, ${most})`);
}
