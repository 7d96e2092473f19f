// How long a person waits: first paint of the page, from a corner typed to the part's new lengths, and
// from a slider's move to the new answers on the plan page, of which how much is the service. Prints;
// asserts nothing.
import { openBrowser, person } from "./browser.mjs";
import { Server } from "./server.mjs";

const middle = (values) => values.toSorted((a, b) => a - b)[Math.floor(values.length / 2)];
const say = (what, values) =>
  console.log(`${what}: median ${middle(values).toFixed(0)} ms, worst ${Math.max(...values).toFixed(0)} ms`);

const server = new Server();
const browser = await openBrowser();
try {
  await server.start();
  const paints = [];
  for (let i = 0; i < 5; ++i) {
    const { page, context } = await person(browser, server.address); // nothing kept of the page yet
    await page.goto(`${server.address}/`);
    await page.waitForFunction(() => performance.getEntriesByName("first-contentful-paint").length > 0);
    paints.push(await page.evaluate(() => performance.getEntriesByName("first-contentful-paint")[0].startTime));
    await context.close();
  }
  say("first contentful paint, first visit", paints);

  const { page } = await person(browser, server.address);
  await page.goto(`${server.address}/#/plan/${await server.partId("pulpit")}`);
  const slider = page.locator("div.two input[type=range]").nth(1); // the wall's: every answer moves with it
  await slider.waitFor();
  await page.waitForTimeout(1000);
  const waits = await slider.evaluate(async (range) => {
    const waits = [];
    const step = Number(range.step) || 1;
    const answers = range.closest("div.two").querySelector("tbody");
    for (let i = 0; i < 21; ++i) {
      performance.clearResourceTimings();
      const begun = performance.now();
      const seen = new Promise((done) => {
        const watch = new MutationObserver(() => (watch.disconnect(), requestAnimationFrame(done)));
        watch.observe(answers, { childList: true, characterData: true, subtree: true });
      });
      range.value = String(Number(range.value) + (i % 2 ? -4 : 4) * Number(range.step));
      range.dispatchEvent(new Event("input", { bubbles: true }));
      await seen;
      const took = performance.now() - begun;
      await new Promise((done) => setTimeout(done, 200)); // the browser notes its requests late
      const asked = performance.getEntriesByType("resource").find((r) => r.name.endsWith("/plan"));
      waits.push([took, asked ? asked.responseEnd - asked.startTime : NaN]);
    }
    return waits;
  });
  // A corner's cell: every key typed asks anew, and the plan behind the page follows.
  await page.goto(`${server.address}/#/part/${await server.partId("pulpit")}`);
  const cell = page.locator('[data-cell="2-0"]');
  await cell.waitFor();
  await page.waitForTimeout(1000);
  const typed = await cell.evaluate(async (field) => {
    const waits = [];
    const answers = document.querySelector("dl");
    for (let i = 0; i < 21; ++i) {
      const begun = performance.now();
      const seen = new Promise((done) => {
        const watch = new MutationObserver(() => (watch.disconnect(), requestAnimationFrame(done)));
        watch.observe(answers, { childList: true, characterData: true, subtree: true });
      });
      field.value = String(310 + ((i % 2) + 1) * 7);
      field.dispatchEvent(new Event("input", { bubbles: true }));
      await seen;
      waits.push(performance.now() - begun);
      await new Promise((done) => setTimeout(done, 200));
    }
    return waits;
  });
  say("corner typed to new lengths", typed);
  say("slider to new answers", waits.map((w) => w[0]));
  say("  of it asking the service", waits.map((w) => w[1]));
} finally {
  await browser.close();
  await server.end();
}
