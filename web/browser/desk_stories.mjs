// At the desk: from pasted cells to a printed sheet, two people, and a service that goes away.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import path from "node:path";

const words = JSON.parse(
  readFileSync(path.resolve(import.meta.dirname, "../src/locales/en.json"), "utf8"),
);
const say = (key) => words[key];

const kCells = ["X\tY\tZ", "0\t0\t0", "420\t0\t0", "420\t310\t0", "700\t310\t180", "700\t650\t180"];

const kept = (page) => page.locator(".safe.kept").waitFor({ timeout: 15_000 });
const idOf = (page) => /#\/\w+\/([a-z0-9_-]+)/.exec(page.url())[1];
const cell = (page, row, column) => page.locator(`[data-cell="${row}-${column}"]`);
const degrees = (value) => value.toFixed(1);

async function newJob(page, base, name) {
  await page.goto(`${base}/#/jobs`);
  await page.getByRole("link", { name: say("jobs.new") }).click();
  await page.locator("#cells").fill(kCells.join("\n"));
  // Cells without a unit: the reader asks. Nor do corners say the radius.
  await page.getByRole("button", { name: "millimetres" }).click();
  const radius = page.getByRole("combobox", { name: /centreline radius/ });
  await radius.fill("77");
  await radius.press("Tab");
  await page.locator("#name").fill(name);
  await page.getByRole("combobox", { name: say("field.size"), exact: true }).fill("25 x 1.5");
  await page.keyboard.press("Tab");
  await page.getByRole("combobox", { name: say("field.material"), exact: true }).fill("316L annealed");
  await page.keyboard.press("Tab");
  await page.locator("#name").click(); // closes what is offered
  await page.getByRole("button", { name: say("new.create") }).click();
  await cell(page, 0, 0).waitFor();
  return idOf(page);
}

export const deskStories = [
  {
    name: "the order of bends by keys, by dragging and from the list",
    async tell({ server, enter, shots }) {
      const { page } = await enter({});
      const { parts } = await server.api("GET", "/parts?words=gate%20brace");
      const id = parts[0].id;
      const planned = async (order) =>
        (await server.api("POST", "/plan", { part_id: id, ...(order ? { order } : {}) })).plan;
      const words = (plan) =>
        page.locator("p", { hasText: `${plan.order.name}: ${plan.order.words}` }).first();
      const taken = await planned();
      assert.equal(taken.order.text, "1B,2B", "the drawing order hits the floor, so another is taken");
      await page.goto(`${server.address}/#/plan/${id}`);
      await words(taken).waitFor();

      // By a button; compared again at once.
      const moved = await planned("2B,1B");
      await page.getByRole("button", { name: "Bend 1 one place later" }).click();
      await words(moved).waitFor();
      // By the mouse, back to its place.
      const handle = async (n) => page.locator(".handle").nth(n).boundingBox();
      const [from, to] = [await handle(1), await handle(0)];
      await page.mouse.move(from.x + from.width / 2, from.y + from.height / 2);
      await page.mouse.down();
      await page.mouse.move(to.x + to.width / 2, to.y + to.height / 2 - 8, { steps: 8 });
      await page.mouse.up();
      await words(taken).waitFor();

      // The drawing order is on the list, with what it hits; it can be taken all the same.
      const drawn = await planned("keep");
      assert.equal(drawn.order.works, false);
      await page
        .getByRole("button", { name: `${say("order.take")}: ${drawn.order.name}` })
        .click();
      await words(drawn).waitFor();
      await page.screenshot({ path: path.join(shots, "plan-order-hits.png"), fullPage: true });
      // What it hits is said with the order that would do, and a press takes that one.
      const hit = page.locator(".findings li.stop", { hasText: drawn.findings.find((f) => f.code === "order.hit").message });
      await hit.getByRole("button", { name: say("finding.take_order").split(":")[0] }).click();
      await page.getByRole("dialog").getByRole("row", { name: say("wish.order") }).waitFor();
      await page.screenshot({ path: path.join(shots, "plan-order-asked.png") });
      await page.getByRole("dialog").getByRole("button", { name: say("finding.apply") }).click();
      await words(taken).waitFor();
      await page.getByRole("button", { name: say("order.own") }).click();
      await words(taken).waitFor();
    },
  },
  {
    name: "new job by pasting cells, to a PDF with its numbers",
    async tell({ server, enter, shots }) {
      const { page } = await enter({});
      const id = await newJob(page, server.address, "Step rail");
      // A slip of the finger is said beside its cell, and mended there.
      await cell(page, 2, 1).fill("31O");
      await page.locator("#wrong-2-1").waitFor();
      await page.screenshot({ path: path.join(shots, "part-wrong-cell.png") });
      await cell(page, 2, 1).fill("310");
      await page.locator("#wrong-2-1").waitFor({ state: "detached" });
      await kept(page);

      await page.goto(`${server.address}/#/plan/${id}`);
      const die = page.locator("#die");
      await die.waitFor();
      const fitting = await die.locator("option:not([disabled])").nth(1).getAttribute("value");
      await die.selectOption(fitting);
      const before = (await server.api("POST", "/plan", { part_id: id, die: fitting })).plan;
      await page.getByText(`${degrees(before.steps[0].set_angle_deg)}°`).first().waitFor();

      await page.goto(`${server.address}/#/springback/${id}`);
      const type = async (row, set, finished) => {
        const at = (what) => page.locator("tbody tr").nth(row).locator("input").nth(what);
        await at(0).fill(set);
        await at(1).fill(finished);
      };
      await type(0, "60", "55.2");
      await page.getByRole("button", { name: say("springback.more") }).click();
      // A row that cannot be read keeps the others waiting, and stands until it is mended.
      await type(1, "95", "88,1,1");
      await page.getByText(say("springback.mend_first")).waitFor();
      assert.ok(await page.getByRole("button", { name: say("springback.keep") }).isDisabled());
      await type(1, "95", "88,1");
      await page.getByRole("button", { name: say("springback.keep") }).click();
      await page.getByRole("button", { name: say("springback.take_back") }).waitFor();

      const after = (await server.api("POST", "/plan", { part_id: id, die: fitting })).plan;
      const [old, now] = [before.steps[0].set_angle_deg, after.steps[0].set_angle_deg];
      assert.ok(Math.abs(now - old) > 0.2, `trial bends change the plan: ${old} to ${now}`);
      await page.goto(`${server.address}/#/plan/${id}`);
      await page.getByText(`${degrees(now)}°`).first().waitFor();

      await page.goto(`${server.address}/#/sheet/${id}`);
      await page.locator("main img").first().waitFor();
      const loading = page.waitForEvent("download");
      await page.getByRole("button", { name: say("sheet.pdf") }).click();
      const file = path.join(shots, "step-rail.pdf");
      await (await loading).saveAs(file);
      const text = execFileSync("pdftotext", ["-layout", file, "-"], { encoding: "utf8" });
      for (const step of after.steps) {
        assert.ok(text.includes(degrees(step.set_angle_deg)), `set angle ${step.set_angle_deg}`);
        assert.ok(text.includes(step.mark_mm.toFixed(1)), `mark ${step.mark_mm}`);
      }
      assert.ok(text.includes(after.blank.cut_length_mm.toFixed(1)), "cut length");
      assert.ok(text.includes("Step rail"), "name");
    },
  },
  {
    name: "corners pasted in inches stay corners, and findings speak inches",
    async tell({ server, enter }) {
      const { page } = await enter({ viewport: { width: 800, height: 1280 } });
      await page.goto(`${server.address}/#/new/cells`);
      await page.locator("#cells").fill("X (in)\tY (in)\n0\t0\n16 1/2\t0\n16 1/2\t12.25");
      const radius = page.getByRole("combobox", { name: /centreline radius/ });
      await radius.fill("3");
      await radius.press("Tab");
      await page.getByText("3 in", { exact: true }).waitFor();
      await page.locator("#name").fill("Inch corner");
      await page.getByRole("button", { name: say("new.create") }).click();
      await cell(page, 0, 0).waitFor();
      const { document } = await server.api("GET", `/records/part/${idOf(page)}`);
      assert.equal(document.units, "in");
      assert.deepEqual(document.line.corners, [[0, 0, 0], ["16 1/2", 0, 0], ["16 1/2", 12.25, 0]]);
      assert.equal(document.line.radius, "3 in");

      // Upright on a tablet the step table fits, in either unit.
      const rail = await server.partId("pulpit");
      await page.goto(`${server.address}/#/plan/${rail}`);
      const order = page.locator("section", { hasText: say("order.title") });
      await order.getByText(/clears the .* mm/).first().waitFor();
      const over = () =>
        page.locator("section.steps").first().evaluate((e) => e.scrollWidth - e.clientWidth);
      assert.ok((await over()) <= 1, `the step table is ${await over()} px too wide`);
      await page.locator(".small-switch").first().click();
      await order.getByText(/clears the .*"/).first().waitFor();
      assert.ok((await over()) <= 1, `the step table is ${await over()} px too wide in inches`);
    },
  },
  {
    name: "a new job half typed waits for its tab",
    async tell({ server, enter, shots }) {
      const { page } = await enter({});
      await page.goto(`${server.address}/#/jobs`);
      await page.getByRole("link", { name: say("jobs.new") }).click();
      await page.locator("#name").fill("Half a rail");
      await page.getByRole("combobox", { name: say("field.size"), exact: true }).fill("25 x 1.5");
      await page.locator("#cells").fill("X\tY\n0\t0\n400\t0\n400\t300");
      await page.getByRole("button", { name: "millimetres" }).click();
      await page.getByRole("combobox", { name: /centreline radius/ }).waitFor();
      await page.goBack();
      await page.locator("input[type=search]").waitFor();
      await page.goForward();
      await page.getByText(say("new.again")).waitFor();
      assert.equal(await page.locator("#name").inputValue(), "Half a rail");
      assert.match(await page.locator("#cells").inputValue(), /400\t300$/);
      // Nor is the question asked again that was answered.
      const radius = page.getByRole("combobox", { name: /centreline radius/ });
      await radius.waitFor();
      assert.equal(await page.getByRole("button", { name: "millimetres" }).count(), 0);
      await page.screenshot({ path: path.join(shots, "new-again.png") });
      await radius.fill("75");
      await radius.press("Tab");
      await page.getByRole("button", { name: say("new.create") }).click();
      await cell(page, 0, 0).waitFor();
      await page.goto(`${server.address}/#/new/cells`);
      await page.locator("#cells").waitFor(); // the part's page has a name, too
      assert.equal(await page.locator("#name").inputValue(), "", "made: nothing waits any more");
      // And by a press of its own.
      await page.locator("#name").fill("Other");
      await page.reload();
      await page.getByRole("button", { name: say("new.anew") }).click();
      assert.equal(await page.locator("#name").inputValue(), "");
      await page.reload();
      await page.locator("#name").waitFor();
      assert.equal(await page.getByText(say("new.again")).count(), 0);
    },
  },
  {
    name: "what was typed last is kept however the page is left",
    async tell({ server, enter }) {
      const id = await server.partId("pulpit");
      const now = async () => (await server.api("GET", `/records/part/${id}`)).document.line.corners[1][2];
      const until = async (value) => {
        for (let tries = 0; (await now()) !== value; ++tries) {
          assert.ok(tries < 40, `${value} is kept, not ${await now()}`);
          await new Promise((done) => setTimeout(done, 50));
        }
      };
      const { page, context } = await enter({});
      await page.goto(`${server.address}/#/jobs`);
      await page.locator("input[type=search]").waitFor();
      for (const [value, leave] of [
        [431, () => page.goBack()],
        [432, () => page.goto("about:blank")],
        [433, () => page.close()],
      ]) {
        await page.goto(`${server.address}/#/part/${id}`);
        await cell(page, 1, 2).waitFor();
        await page.waitForTimeout(500);
        await cell(page, 1, 2).fill(String(value));
        await leave();
        await until(value);
      }
      // It is on the job's page, too, and nothing is left to settle.
      const other = await context.newPage();
      await other.goto(`${server.address}/#/part/${id}`);
      await other.waitForFunction(() => document.querySelector('[data-cell="1-2"]')?.value === "433");
      await kept(other);
      assert.equal(await other.evaluate(() => Object.keys(localStorage).some((key) => key.startsWith("bight.pending"))), false);
    },
  },
  {
    name: "a blank job begins in bends",
    async tell({ server, enter, shots }) {
      const { page } = await enter({});
      await page.goto(`${server.address}/#/new/blank`);
      await page.locator("#name").fill("By straights");
      await page.getByRole("button", { name: say("new.create") }).click();
      await cell(page, 0, 0).waitFor();
      await page.getByRole("button", { name: say("part.bends"), exact: true }).click();
      // One bend and the last straight, to be typed.
      await page.locator('[data-cell="1-0"]').waitFor();
      await page.waitForFunction(() => document.querySelectorAll("[data-cell]").length === 5);
      const rows = [["120", "0", "45,5", "75"], ["80"]];
      for (const [row, texts] of rows.entries()) {
        for (const [column, text] of texts.entries()) await cell(page, row, column).fill(text);
      }
      await kept(page);
      await page.screenshot({ path: path.join(shots, "part-by-bends.png") });
      const { document } = await server.api("GET", `/records/part/${idOf(page)}`);
      assert.deepEqual(document.line.bends.map((b) => [b.straight, b.rotation, b.angle]), [[120, 0, 45.5]]);
      assert.equal(document.line.last, 80);
      assert.deepEqual([document.line.bends[0].radius, "radius" in document.line], [75, false]);
    },
  },
  {
    name: "a second browser sees the change live",
    async tell({ server, enter, shots }) {
      const id = await server.partId("pulpit");
      const one = await enter({});
      const other = await enter({});
      for (const { page } of [one, other]) {
        await page.goto(`${server.address}/#/part/${id}`);
        await page.locator("#name").waitFor();
      }
      await other.page.waitForTimeout(500);
      await one.page.locator("#name").fill("Pulpit rail, long");
      await other.page.getByRole("heading", { name: "Pulpit rail, long" }).waitFor();
      // So is what is chosen for the plan: two stations never set up differently.
      for (const { page } of [one, other]) {
        await page.goto(`${server.address}/#/plan/${id}`);
        await page.locator("#bender").waitFor();
      }
      await one.page.locator("#bender").selectOption("Heron");
      await other.page.waitForFunction(() => document.querySelector("#bender").value === "Heron");
      // Undo takes back one's own choices; what the other station chose over them it names first.
      const die = other.page.locator("#die");
      const [first, second] = await die.locator("option:not([disabled])").evaluateAll((all) => all.map((one) => one.value).filter(Boolean));
      await die.selectOption(first);
      await one.page.waitForFunction((name) => document.querySelector("#die").value === name, first);
      await one.page.locator("#die").selectOption(second);
      await other.page.waitForFunction((name) => document.querySelector("#die").value === name, second);
      const undo = other.page.getByRole("button", { name: say("grid.undo"), exact: true });
      await undo.click();
      const dialog = other.page.getByRole("dialog", { name: say("over.undo") });
      await dialog.getByText(`${say("wish.die")}: “${second}”; it would become “${say("finding.let_choose")}”`).waitFor();
      await other.page.screenshot({ path: path.join(shots, "plan-undo-theirs.png") });
      await dialog.getByRole("button", { name: say("over.leave") }).click();
      await dialog.waitFor({ state: "detached" });
      assert.equal(await die.inputValue(), second);
      await undo.click();
      await dialog.getByRole("button", { name: say("over.all_the_same") }).click();
      await one.page.waitForFunction(() => document.querySelector("#die").value === "");
      assert.equal(await other.page.locator("#bender").inputValue(), "Heron");
      // Chosen at both at once: each keeps what it chose, and is told of the other.
      await other.context.setOffline(true);
      await die.selectOption(first);
      await one.page.locator("#bender").selectOption("");
      await one.page.waitForTimeout(300);
      await other.context.setOffline(false);
      await one.page.waitForFunction((name) => document.querySelector("#die").value === name, first);
      await other.page.waitForFunction(() => document.querySelector("#bender").value === "");
      const choice = await server.api("GET", `/records/plan_choice?part=${id}`);
      assert.deepEqual(choice.records[0].document, { die: first });
    },
  },
  {
    name: "two change the same cell: shown, nothing lost",
    troubled: true, // one of them loses the line on purpose
    async tell({ server, enter }) {
      const id = await server.partId("pulpit");
      const one = await enter({});
      const other = await enter({});
      for (const { page } of [one, other]) {
        await page.goto(`${server.address}/#/part/${id}`);
        await cell(page, 1, 2).waitFor();
      }
      await other.context.setOffline(true);
      await cell(other.page, 1, 2).fill("433");
      await cell(other.page, 2, 0).fill("311");
      await one.page.waitForTimeout(300);
      await cell(one.page, 1, 2).fill("444");
      await kept(one.page);
      await other.context.setOffline(false);
      await other.page.getByText(say("settle.title")).waitFor({ timeout: 20_000 });
      await other.page.getByText("444").first().waitFor();
      await other.page.getByText("433").first().waitFor();
      await other.page.getByRole("button", { name: say("settle.keep") }).click();
      await kept(other.page);
      const record = await server.api("GET", `/records/part/${id}`);
      assert.equal(record.document.line.corners[1][2], 433);
      assert.equal(record.document.line.corners[2][0], 311);
      const { history } = await server.api("GET", `/records/part/${id}/history`);
      assert.ok(history.length >= 3, "both versions stay in the history");
      const theirs = await server.api("GET", `/records/part/${id}/revisions/${record.revision - 1}`);
      assert.equal(theirs.document.line.corners[1][2], 444);
    },
  },
  {
    name: "the page goes on after the service was restarted",
    troubled: true,
    async tell({ server, enter }) {
      const id = await server.partId("pulpit");
      const { page } = await enter({});
      await page.goto(`${server.address}/#/part/${id}`);
      await cell(page, 1, 2).waitFor();
      await server.stop();
      await cell(page, 1, 2).fill("425");
      await page.locator(".safe.waiting").waitFor();
      await server.start();
      await kept(page);
      const record = await server.api("GET", `/records/part/${id}`);
      assert.equal(record.document.line.corners[1][2], 425);
    },
  },
  {
    name: "keyboard only: find a job, change it, undo, see the plan",
    async tell({ server, enter }) {
      const { page } = await enter({});
      // From a field that offers sizes, Tab leads to the next field and what is typed stands there.
      await page.goto(`${server.address}/#/new/cells`);
      const size = page.getByRole("combobox", { name: "Tube or bar" });
      await size.focus();
      await page.keyboard.type("25 x 1.5");
      await page.getByRole("option").first().waitFor();
      await page.keyboard.press("Tab");
      await page.keyboard.type("316L");
      assert.equal(await page.getByRole("combobox", { name: "Metal" }).inputValue(), "316L");
      assert.equal(await size.inputValue(), "25 x 1.5");
      await page.goto(`${server.address}/#/jobs`);
      await page.locator("input[type=search]").waitFor();
      // Gives up after as many presses as the page could sensibly want.
      const tabTo = async (test, most = 60) => {
        for (let presses = 0; presses < most; ++presses) {
          await page.keyboard.press("Tab");
          if (await page.evaluate(test)) return;
        }
        throw new Error(`not reached by Tab: ${test}`);
      };
      await tabTo(() => document.activeElement.matches("input[type=search]"));
      await page.keyboard.type("pulpit");
      await page.waitForFunction(() => document.querySelectorAll("main ul li").length === 1);
      await tabTo(() => document.activeElement.matches("main ul a, main ul button"));
      await page.keyboard.press("Enter");
      await cell(page, 0, 0).waitFor();
      await tabTo(() => document.activeElement.dataset.cell === "0-0");
      await page.keyboard.press("ArrowDown");
      await page.keyboard.press("ArrowRight");
      await page.waitForFunction(() => document.activeElement.dataset.cell === "1-1");
      const was = await cell(page, 1, 1).inputValue();
      await page.keyboard.type("12");
      assert.equal(await cell(page, 1, 1).inputValue(), "12");
      await page.keyboard.press("Control+z");
      assert.equal(await cell(page, 1, 1).inputValue(), was);
      const seen = await page.evaluate(() => {
        const style = getComputedStyle(document.activeElement);
        return style.outlineStyle !== "none" || style.boxShadow !== "none";
      });
      assert.ok(seen, "the focus can be seen");
      await page.keyboard.press("Shift+Tab");
      for (let presses = 0; presses < 80; ++presses) {
        const there = await page.evaluate(() =>
          document.activeElement.getAttribute("href")?.startsWith("#/plan/"),
        );
        if (there) break;
        await page.keyboard.press("Shift+Tab");
      }
      await page.keyboard.press("Enter");
      await page.locator("#die").waitFor();
    },
  },
  {
    name: "bends that overlap are told before the job is made",
    async tell({ server, enter, shots }) {
      for (const how of [{}, { viewport: { width: 390, height: 844 }, dark: true }]) {
        const { page } = await enter(how);
        await page.goto(`${server.address}/#/new/cells`);
        await page.getByRole("combobox", { name: say("field.size"), exact: true }).fill("25 x 1.5");
        await page.keyboard.press("Escape");
        await page.locator("#cells").fill("X mm\tY mm\tR mm\n0\t0\t\n100\t0\t75\n100\t100\t75\n200\t100\t");
        await page.locator(".warned", { hasText: /Straight 2 is short by 50\.0 mm/ }).waitFor();
        // In the words of the check as soon as tube and metal are known.
        await page.getByRole("combobox", { name: say("field.material"), exact: true }).fill("316L annealed");
        await page.keyboard.press("Escape");
        await page.locator(".warned", { hasText: /straight 2 .* is short by 50\.0 mm/ }).waitFor();
        await page.waitForTimeout(300);
        await page.screenshot({ path: path.join(shots, `new-overlap-${how.dark ? "phone" : "desk"}.png`), fullPage: true });
      }
    },
  },
  {
    name: "a metal by its everyday name, and sizes in inches",
    async tell({ server, enter, shots }) {
      const { page } = await enter({});
      await page.goto(`${server.address}/#/new/cells`);
      const metal = page.getByRole("combobox", { name: say("field.material"), exact: true });
      await metal.focus();
      await page.keyboard.type("mild steel");
      await page.getByRole("option", { name: /^S235JRH/ }).waitFor();
      await page.screenshot({ path: path.join(shots, "new-metal.png") });
      await metal.fill("unobtainium");
      await page.getByText(say("offer.none").replace("{typed}", "unobtainium")).waitFor();
      await metal.fill("");
      // All of them, to the last.
      const { metals } = await server.api("GET", "/catalogue");
      await page.waitForFunction((n) => document.querySelectorAll("[role=option]").length === n, metals.length);
      await page.keyboard.press("Escape");
      await page.locator(".small-switch").first().click();
      const size = page.getByRole("combobox", { name: say("field.size"), exact: true });
      assert.equal(await size.getAttribute("placeholder"), say("part.size_hint_in"));
      await size.focus();
      await page.keyboard.type("1 1/2 x 0.065");
      await page.getByRole("option", { name: /OD 1\.5 × 0\.065 in/ }).waitFor();
      await page.screenshot({ path: path.join(shots, "new-size-in.png") });
    },
  },
  {
    name: "the focus goes on with the page",
    async tell({ server, enter, shots }) {
      const { page } = await enter({});
      const at = (selector) => page.waitForFunction((one) => document.activeElement?.matches(one), selector);
      await page.goto(`${server.address}/#/jobs`);
      await page.getByRole("link", { name: say("jobs.new") }).press("Enter");
      await at("h1");
      await page.goto(`${server.address}/#/new/blank`);
      await page.getByRole("button", { name: say("new.create") }).press("Enter");
      await cell(page, 0, 0).waitFor();
      await at("h1");
      // One step to what leads past everything, one to the table.
      await page.keyboard.press("Tab");
      await page.screenshot({ path: path.join(shots, "part-skip.png") });
      await page.keyboard.press("Enter");
      await at('[data-cell="0-0"]');
      await page.getByRole("link", { name: say("view.springback") }).press("Enter");
      await at("h1");
      const id = await server.partId("pulpit");
      await page.goto(`${server.address}/#/springback/${id}`);
      await page.getByRole("heading", { name: /Pulpit rail/ }).waitFor();
      await page.locator('[data-trial="0-set"]').fill("60");
      await page.locator('[data-trial="0-finished"]').fill("55,2");
      await page.getByRole("button", { name: say("springback.keep"), disabled: false }).press("Enter");
      await at("a.button[href^='#/plan/']");
      await page.getByRole("button", { name: say("springback.take_back") }).press("Enter");
      await at('[data-trial="0-set"]');
    },
  },
  {
    name: "what was opened can be seen again without the service",
    troubled: true,
    async tell({ server, enter }) {
      const id = await server.partId("pulpit");
      const { page } = await enter({ keeps: true });
      await page.goto(`${server.address}/#/part/${id}`);
      await cell(page, 0, 0).waitFor();
      await page.waitForFunction(() => navigator.serviceWorker.getRegistration().then((one) => one?.active));
      await page.reload(); // now by the worker, which keeps what passes
      await cell(page, 0, 0).waitFor();
      const isKept = async (end) => {
        const kept = await (await caches.open("bight-answers-1")).keys();
        return kept.some((request) => request.url.endsWith(end));
      };
      for (let tries = 0; !(await page.evaluate(isKept, `/records/part/${id}`)); ++tries) {
        assert.ok(tries < 200, "the worker keeps what was opened");
        await page.waitForTimeout(50);
      }
      await server.stop();
      await page.reload();
      await cell(page, 0, 0).waitFor();
      await page.getByRole("heading", { name: /Pulpit rail/ }).waitFor();
    },
  },
  {
    name: "what stands round a bender, by its form and picture",
    async tell({ server, enter, shots }) {
      const { page } = await enter({});
      const heron = async () =>
        (await server.api("GET", "/records/bender?limit=10")).records.find((r) => r.document.name === "Heron");
      const before = await heron();
      await page.goto(`${server.address}/#/shop/bender/${before.id}`);
      const pictures = page.getByRole("img", { name: /The bender from above/ });
      await pictures.waitFor();
      const drawn = await pictures.locator("polygon").count();
      await page.getByRole("button", { name: "Add a body" }).click();
      const form = page.locator("details.body").last();
      await form.getByLabel("Name *").fill("tool cart");
      await form.getByLabel("Place, x").fill("36in");
      if ((await pictures.locator("polygon").count()) !== drawn + 1) throw new Error("the new body is not drawn");
      await page.getByRole("button", { name: "Keep" }).click();
      await page.getByRole("button", { name: "Keep", disabled: true }).waitFor();
      // A second groove above the first: its height beside the form, and drawn.
      await page.getByRole("button", { name: say("stack.add") }).click();
      await page.getByLabel(/Level 3, height/).fill("16O");
      await page.getByText(/holds the letter O where a digit belongs; write 160/).waitFor();
      await page.getByLabel(/Level 3, height/).fill("-60");
      await page.getByText(/rising, the first 0/).waitFor();
      await page.getByLabel(/Level 3, height/).fill("162,5");
      await page.getByRole("button", { name: "Keep" }).click();
      await page.getByRole("button", { name: "Keep", disabled: true }).waitFor();
      assert.equal(await page.locator("svg line.groove").count(), 3);
      await page.locator("fieldset", { hasText: say("stack.title") }).scrollIntoViewIfNeeded();
      await page.screenshot({ path: path.join(shots, "shop-stack.png") });
      assert.deepEqual((await heron()).document.levels, [0, 75, 162.5]);
      const after = (await heron()).document.body;
      const made = after.find((body) => body.name === "tool cart");
      if (after.length !== before.document.body.length + 1 || made?.at?.[0] !== "36in") throw new Error(JSON.stringify(made));
    },
  },
  {
    name: "commas for decimals, and letters for digits",
    async tell({ server, enter, shots }) {
      const { page } = await enter({ locale: "de-DE" });
      const id = await server.partId("pulpit");
      const corners = async () => (await server.api("GET", `/records/part/${id}`)).document.line.corners;
      await page.goto(`${server.address}/#/part/${id}`);
      await cell(page, 1, 0).waitFor();
      await cell(page, 1, 0).click();
      await cell(page, 1, 0).fill("425,4");
      await page.keyboard.press("Tab");
      await kept(page);
      assert.equal((await corners())[1][0], 425.4);
      await cell(page, 1, 0).fill("4O5");
      await page.getByText(/"4O5" holds the letter O where a digit belongs; write 405/).waitFor();
      await cell(page, 1, 0).fill("1,250");
      await page.getByText(/decimals or thousands\?/).waitFor();
      await page.screenshot({ path: path.join(shots, "part-comma.png") });
      // A block from a sheet that writes the comma.
      await cell(page, 1, 0).focus();
      await page.evaluate(() => {
        const data = new DataTransfer();
        data.setData("text/plain", "430,5\t0\t0,25");
        document.activeElement.dispatchEvent(new ClipboardEvent("paste", { clipboardData: data, bubbles: true, cancelable: true }));
      });
      await page.waitForFunction(() => document.querySelector('[data-cell="1-0"]').value === "430.5");
      assert.equal(await cell(page, 1, 2).inputValue(), "0.25");
      // And a whole table of them.
      await page.goto(`${server.address}/#/new/cells`);
      await page.locator("#cells").fill("X;Y;Z\n0;0;0\n425,4;0;0\n425,4;310,5;0");
      await page.getByRole("button", { name: "millimetres" }).click();
      const radius = page.getByRole("combobox", { name: /centreline radius/ });
      await radius.fill("77,5");
      await radius.press("Tab");
      await page.getByText(/decimal comma/).waitFor();
      await page.screenshot({ path: path.join(shots, "new-comma.png") });
      await page.locator("#cells").fill("X\tY\tZ\n0\t0\t0\n4OO\t0\t0\n400\t300\t0");
      await page.getByRole("button", { name: "millimetres" }).click();
      await page.getByText(/^row 3, column 1 – .*holds the letter O where a digit belongs/).waitFor();
      // Mended in its place: what the numbers are in was answered already.
      await page.locator("#cells").fill("X\tY\tZ\n0\t0\t0\n400\t0\t0\n400\t300\t0");
      await page.getByRole("combobox", { name: /centreline radius/ }).waitFor();
      assert.equal(await page.getByRole("button", { name: "millimetres" }).count(), 0);
    },
  },
];
