// What is carried onto the page, and what is carried away from the network.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import path from "node:path";

const words = JSON.parse(
  readFileSync(path.resolve(import.meta.dirname, "../src/locales/en.json"), "utf8"),
);
const say = (key, values = {}) => words[key].replace(/\{(\w+)\}/g, (_, name) => values[name]);
const cell = (page, row, column) => page.locator(`[data-cell="${row}-${column}"]`);

const kCsv = "X (mm),Y (mm),Z (mm)\n0,0,0\n400,0,0\n400,300,0\n";
const kToml = `schema = 1
name = "Carried arm"
units = "mm"
[tube]
size = "25 x 1.5"
material = "316L annealed"
[line]
corners = [[0, 0, 0], [0, 0, 420], [310, 140, 560]]
radius = 77
`;
const kDxf = [
  [0, "SECTION"], [2, "HEADER"], [9, "$INSUNITS"], [70, 4], [0, "ENDSEC"],
  [0, "SECTION"], [2, "ENTITIES"],
  [0, "LWPOLYLINE"], [90, 3], [70, 0], [10, 0], [20, 0], [10, 500], [20, 0], [10, 500], [20, 250],
  [0, "ENDSEC"], [0, "EOF"],
].map(([code, value]) => `${code}\n${value}`).join("\n");

// Carries files as the browser does, with a DataTransfer of its own.
async function carry(page, files) {
  const data = await page.evaluateHandle((all) => {
    const made = new DataTransfer();
    for (const [name, text] of all) made.items.add(new File([text], name));
    return made;
  }, files);
  await page.dispatchEvent("main", "dragenter", { dataTransfer: data });
  await page.dispatchEvent("main", "dragover", { dataTransfer: data });
  return () => page.dispatchEvent("main", "drop", { dataTransfer: data });
}

const deed = (n, key, of) => say("history.now", { n: String(n), deed: say(`deed.${key}`, { n: String(of) }) });
const entry = (page, n) => page.locator("main ol > li", { has: page.locator("strong", { hasText: new RegExp(`^Version ${n}$`) }) });
const told = (page, text) => page.locator("main [role=status]", { hasText: text }).waitFor();

export const carryStories = [
  {
    name: "the history of a job, a die set and a trial: look, go back, take off, bring back",
    async tell({ server, enter, shots }) {
      const { page } = await enter({});
      // A job, by mouse: changed once, looked at as it was, gone back to, and forth again.
      const id = await server.partId("pulpit");
      await page.goto(`${server.address}/#/part/${id}`);
      await cell(page, 1, 2).waitFor();
      await cell(page, 1, 2).fill("444");
      await page.locator(".safe.kept").waitFor();
      for (let tries = 0; (await server.api("GET", `/records/part/${id}`)).revision < 2; ++tries) {
        assert.ok(tries < 100, "kept");
        await page.waitForTimeout(50);
      }
      await page.getByRole("link", { name: say("history.title") }).click();
      await entry(page, 1).getByRole("button", { name: say("history.see") }).click();
      await entry(page, 1).getByRole("row", { name: /corner 2/i }).getByText("0; 0; 420").waitFor();
      await entry(page, 1).locator(".end-a").waitFor();
      await page.screenshot({ path: path.join(shots, "history-part.png"), fullPage: true });
      await entry(page, 2).getByRole("button", { name: say("history.what") }).click();
      await entry(page, 2).getByRole("cell", { name: "444" }).waitFor();
      await page.getByRole("button", { name: say("history.undo") }).click();
      await told(page, deed(3, "undo", 1));
      await entry(page, 2).getByRole("button", { name: say("history.go_back") }).click();
      await told(page, deed(4, "undo", 2));
      await page.getByRole("link", { name: say("history.back"), exact: true }).click();
      await cell(page, 1, 2).waitFor();
      await page.waitForFunction(() => document.querySelector('[data-cell="1-2"]').value === "444");
      await page.getByRole("link", { name: say("history.title") }).click();
      await page.getByRole("button", { name: say("shop.take_off") }).click();
      await told(page, deed(5, "withdraw", 4));
      await page.goto(`${server.address}/#/jobs`);
      await page.getByText(words["off.list"].one.replace("{n}", "1")).click();
      await page.getByRole("link", { name: "Pulpit rail, port", exact: true }).click();
      await page.getByRole("button", { name: say("history.restore") }).click();
      await told(page, deed(6, "restore", 4));
      assert.equal((await server.api("GET", `/records/part/${id}`)).withdrawn, false);

      // A die set, by keys alone.
      const { records: dies } = await server.api("GET", "/records/die_set?limit=100");
      const die = dies.find((record) => record.document.name === "25R75");
      await page.goto(`${server.address}/#/history/die_set/${die.id}`);
      await page.getByRole("heading", { name: /25R75/ }).waitFor();
      const reach = async (name, most = 60) => {
        for (let presses = 0; presses < most; ++presses) {
          await page.keyboard.press("Tab");
          const here = await page.evaluate(() => document.activeElement.textContent.trim());
          if (here === name) return;
        }
        throw new Error(`not reached by Tab: ${name}`);
      };
      await page.locator("main").focus();
      await reach(say("history.see"));
      await page.keyboard.press("Enter");
      await page.getByRole("row", { name: /Groove/i }).first().waitFor();
      await page.screenshot({ path: path.join(shots, "history-die.png") });
      await page.locator("main").focus();
      await reach(say("shop.take_off"));
      await page.keyboard.press("Enter");
      await told(page, deed(2, "withdraw", 1));
      assert.equal((await server.api("GET", `/records/die_set/${die.id}`)).withdrawn, true);
      await page.locator("main").focus();
      await reach(say("history.restore"));
      await page.keyboard.press("Enter");
      await told(page, deed(3, "restore", 1));

      // A trial that was taken off is found again from its shelf.
      const { records: trials } = await server.api("GET", "/records/trial?limit=100");
      await page.goto(`${server.address}/#/history/trial/${trials[0].id}`);
      await page.getByRole("button", { name: say("shop.take_off") }).click();
      await told(page, deed(2, "withdraw", 1));
      await page.getByRole("link", { name: say("history.back"), exact: true }).click();
      await page.goto(`${server.address}/#/shop/trial`);
      await page.getByText(words["off.list"].one.replace("{n}", "1")).click();
      await page.locator("main details a").first().click();
      await page.getByRole("button", { name: say("history.restore") }).click();
      await told(page, deed(3, "restore", 1));
      assert.equal((await server.api("GET", `/records/trial/${trials[0].id}`)).withdrawn, false);
    },
  },
  {
    name: "files dropped anywhere become jobs, and a strange one is named",
    async tell({ server, enter, shots }) {
      const { page } = await enter({});
      await page.goto(`${server.address}/#/jobs`);
      await page.getByRole("link", { name: say("jobs.new") }).waitFor();
      // Where to drop is said while something is carried, and no longer once it is carried off.
      await carry(page, [["arm.toml", kToml]]);
      await page.getByText(say("drop.here")).waitFor();
      await page.screenshot({ path: path.join(shots, "drop-here.png") });
      await page.dispatchEvent("main", "dragleave", {});
      await page.getByText(say("drop.here")).waitFor({ state: "detached" });

      // Four at once: two kinds of file, a picture, and an empty one.
      const drop = await carry(page, [["arm.toml", kToml], ["legs.csv", kCsv], ["sketch.dxf", kDxf], ["photo.png", "x"]]);
      await drop();
      await page.getByRole("alert").getByText("photo.png").waitFor();
      await page.waitForFunction(() => document.querySelector("#name").value === "Carried arm");
      await page.screenshot({ path: path.join(shots, "drop-several.png") });
      await page.getByRole("button", { name: say("new.create") }).click();
      await cell(page, 0, 0).waitFor();
      await page.getByText("legs.csv, sketch.dxf").waitFor();
      await page.getByRole("link", { name: say("drop.on") }).click();
      const radius = () => page.getByRole("combobox", { name: /radius/ }).first();
      await radius().fill("77");
      await radius().press("Tab");
      await page.locator("button.main:not([disabled])", { hasText: say("new.create") }).click();
      await cell(page, 0, 0).waitFor();
      await page.getByText("sketch.dxf").waitFor();

      // On the page of a job, too; the newest is what is begun with.
      await (await carry(page, [["cut.stp", "no step at all"]]))();
      await page.getByText("cut.stp", { exact: true }).first().waitFor();
      await page.locator("[role=alert].wrong, .wrong[role=alert]").first().waitFor();
      const why = await page.locator(".wrong[role=alert]").first().textContent();
      assert.match(why, /STEP/);
      // The place to drop says the file, also after an error, and not the browser's "none chosen".
      const place = page.locator("button.drop");
      assert.match(await place.innerText(), /^cut\.stp/);
      assert.equal(await page.locator("input[type=file]").isVisible(), false);
      const chosen = page.waitForEvent("filechooser");
      await place.click();
      await (await chosen).setFiles([{ name: "legs.csv", mimeType: "text/csv", buffer: Buffer.from(kCsv) }]);
      await place.getByText("legs.csv", { exact: true }).waitFor();
      await page.getByRole("button", { name: "sketch.dxf" }).click();
      await page.locator(".wrong[role=alert]").waitFor({ state: "detached" });
      // Words dragged within the page stay the browser's own affair.
      await page.goto(`${server.address}/#/new/cells`);
      const stopped = await page.evaluate(() => {
        const made = new DataTransfer();
        made.setData("text/plain", "0 0 0");
        const event = new DragEvent("dragover", { dataTransfer: made, bubbles: true, cancelable: true });
        document.querySelector("main").dispatchEvent(event);
        return event.defaultPrevented;
      });
      assert.equal(stopped, false);
    },
  },
  {
    name: "a job opened at the very first visit is there without the service",
    troubled: true,
    async tell({ server, enter, shots }) {
      const id = await server.partId("pulpit");
      const { page } = await enter({ keeps: true });
      await page.goto(`${server.address}/#/part/${id}`);
      await cell(page, 0, 0).waitFor();
      const isKept = async (end) => {
        const kept = await (await caches.open("bight-answers-1")).keys();
        return kept.some((request) => new URL(request.url).pathname.endsWith(end));
      };
      for (const end of [`/records/part/${id}`, "/part/check", "/plan"]) {
        for (let tries = 0; !(await page.evaluate(isKept, end)); ++tries) {
          assert.ok(tries < 400, `${end} is kept`);
          await page.waitForTimeout(50);
        }
      }
      await server.stop();
      await page.reload();
      await cell(page, 0, 0).waitFor();
      await page.getByRole("heading", { name: /Pulpit rail/ }).waitFor();
      await page.getByRole("alert").getByText(say("app.away")).waitFor();
      // Its plan is there, too, though nobody looked at it.
      await page.getByRole("link", { name: say("view.plan"), exact: true }).click();
      await page.locator(".steps table").first().waitFor();
      await page.screenshot({ path: path.join(shots, "plan-away.png") });
    },
  },
];
