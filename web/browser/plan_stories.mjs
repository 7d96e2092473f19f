// What a plan says against itself, and how one press mends it.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import path from "node:path";

const words = JSON.parse(
  readFileSync(path.resolve(import.meta.dirname, "../src/locales/en.json"), "utf8"),
);
const say = (key, values = {}) => words[key].replace(/\{(\w+)\}/g, (_, name) => values[name]);

const kRows = [[300, 0, 90], [400, 90, 45]];
const part = (name, tube, radius, rows = kRows) => ({
  schema: 1,
  name,
  units: "mm",
  tube,
  line: {
    bends: rows.map(([straight, rotation, angle]) => ({ straight, rotation, angle })),
    last: 300,
    radius,
  },
});
const k25 = { size: "25 x 1.5", material: "316L annealed" };

async function opened(server, page, document) {
  const { id } = await server.api("POST", "/records/part", { document });
  await page.goto(`${server.address}/#/plan/${id}`);
  await page.getByRole("heading", { name: document.name, exact: true }).waitFor(); // no longer the job before
  await page.locator("#bender").waitFor();
  return id;
}
const choose = async (page, box, value) => {
  const planned = page.waitForResponse((answer) => answer.url().endsWith("/api/v1/plan"));
  await page.locator(box).selectOption(value);
  await planned;
};
const finding = (page, text) => page.locator(".findings li", { hasText: text }).first();
const shown = (page, box) => page.locator(box).inputValue();

// Presses a remedy, sees its change before it is made, makes it, and takes it back.
async function mended(page, said, remedy, lines, made) {
  const one = finding(page, said);
  await one.getByRole("button", { name: remedy, exact: true }).click();
  const dialog = page.getByRole("dialog");
  for (const [what, before, after] of lines) {
    const row = dialog.getByRole("row", { name: what });
    assert.deepEqual(await row.getByRole("cell").allTextContents(), [before, after]);
  }
  const before = [await shown(page, "#die"), await shown(page, "#bender")];
  await dialog.getByRole("button", { name: say("finding.apply") }).click();
  await one.waitFor({ state: "detached" });
  await made();
  await page.getByRole("button", { name: say("grid.undo"), exact: true }).click();
  await one.waitFor();
  assert.deepEqual([await shown(page, "#die"), await shown(page, "#bender")], before);
  await page.keyboard.press("Control+y");
  await one.waitFor({ state: "detached" });
  await made();
}

export const planStories = [
  {
    name: "remedies of a plan: other bender, other end, let it be chosen",
    async tell({ server, enter, shots }) {
      const { page } = await enter({});
      // A tube too large for the bender that was chosen while it was smaller.
      const id = await opened(server, page, part("Grown", { size: "42.4 x 2.6", material: "S235JRH" }, 138));
      await choose(page, "#bender", "Spoonbill");
      await page.goto(`${server.address}/#/part/${id}`);
      const size = page.getByRole("combobox", { name: say("field.size"), exact: true });
      await size.fill("48.3 x 3.2");
      await page.keyboard.press("Tab");
      await page.goto(`${server.address}/#/plan/${id}`);
      const weak = "bender Spoonbill takes tube up to";
      await finding(page, weak).waitFor();
      await page.screenshot({ path: path.join(shots, "plan-remedies.png"), fullPage: true });
      await mended(page, weak, "use bender Heron", [[say("wish.bender"), "Spoonbill", "Heron"]], async () => {
        await page.waitForFunction(() => document.querySelector("#bender").value === "Heron");
        await page.locator(".steps").getByText("48R145").first().waitFor();
      });

      // A die set of another size, asked for by name.
      await opened(server, page, part("Loose", k25, 77));
      const fits = await page.locator("#die option:not([disabled])").allTextContents();
      assert.ok(fits.some((text) => text.startsWith("25R50")));
      await choose(page, "#die", "25R50");
      const other = "die 25R50 gives";
      await finding(page, other).waitFor();
      await mended(
        page,
        other,
        "let bender and die set be chosen",
        [[say("wish.die"), "25R50", say("finding.let_choose")]],
        () => page.locator(".steps").getByText("25R75").first().waitFor(),
      );

      // A short straight between: with end A ahead there is more in the way than with end B.
      await opened(server, page, part("Tight", k25, 77, [[300, 0, 90], [60, 90, 45], [200, 40, 60]]));
      await choose(page, "#bender", "Spoonbill");
      const hit = "hits the column";
      await finding(page, hit).waitFor();
      const end = (letter) => page.getByRole("button", { name: say("plan.end", { end: letter }), exact: true });
      assert.equal(await end("A").getAttribute("aria-pressed"), "true");
      await page.getByRole("button", { name: "start from end B" }).click();
      const dialog = page.getByRole("dialog");
      const row = dialog.getByRole("row", { name: say("wish.from") });
      assert.deepEqual(await row.getByRole("cell").allTextContents(), [
        say("plan.end", { end: "A" }),
        say("plan.end", { end: "B" }),
      ]);
      await page.screenshot({ path: path.join(shots, "plan-remedy-asked.png") });
      await dialog.getByRole("button", { name: say("finding.apply") }).click();
      await finding(page, hit).waitFor({ state: "detached" });
      assert.equal(await end("B").getAttribute("aria-pressed"), "true");
      await page.keyboard.press("Control+z");
      await finding(page, hit).waitFor();
      assert.equal(await end("A").getAttribute("aria-pressed"), "true");

      // Where no die set makes the bends, what-if says so instead of showing dashes.
      await opened(server, page, part("Too wide", { size: "70 x 2", material: "316L annealed" }, 140));
      const whatIf = page.getByRole("region", { name: say("whatif.title") });
      await whatIf.getByText(say("whatif.none_now")).waitFor();
      const table = whatIf.getByRole("table");
      assert.doesNotMatch(await table.innerText(), /–/);
      await table.scrollIntoViewIfNeeded();
      const box = await table.boundingBox();
      const bare = await page.evaluate(([x, y]) => document.elementFromPoint(x, y).closest(".whatif") !== null, [box.x + box.width - 12, box.y + 30]);
      assert.ok(bare, "nothing lies over the what-if panel");
    },
  },
  {
    name: "a turn from another bend is told in its cell",
    async tell({ server, enter, shots }) {
      const id = await server.partId("trolley");
      const { plan } = await server.api("POST", "/plan", { part_id: id });
      const step = plan.steps.find((one) => one.wheel_reset);
      assert.ok(step, "the trolley handle has a bend turned from one made earlier");
      for (const [name, how] of [
        ["desk", {}],
        ["upright", { viewport: { width: 800, height: 1280 } }],
        ["phone", { viewport: { width: 390, height: 844 }, dark: true }],
      ]) {
        const { page } = await enter(how);
        await page.goto(`${server.address}/#/plan/${id}`);
        const from = page.locator(".steps .from");
        await from.filter({ hasText: `from bend ${step.rotation_from}, lying flat` }).waitFor();
        assert.match(await from.innerText(), /wheel to zero first/);
        assert.equal(await page.getByText("Turn from last").count(), 0, "no heading says otherwise");
        const over = await page.locator("section.steps").first().evaluate((e) => e.scrollWidth - e.clientWidth);
        assert.ok(over <= 1, `the step table is ${over} px too wide`);
        await from.scrollIntoViewIfNeeded();
        await page.screenshot({ path: path.join(shots, `plan-turn-from-${name}.png`) });
        // As many cautions as the badge says are on the list.
        const badge = await page.locator(".figure-cut a.badge.caution").innerText();
        assert.equal(Number.parseInt(badge, 10), await page.locator("#findings li.caution").count());
      }
    },
  },
  {
    name: "forty bends on a desk and on a phone: every number can be read",
    async tell({ server, enter, shots }) {
      const rows = Array.from({ length: 40 }, (_, i) => [110 + (i % 3) * 15, i === 0 ? 0 : i % 2 ? 90 : -90, 30 + (i % 4) * 15]);
      const { id } = await server.api("POST", "/records/part", { document: part("Forty", k25, 77, rows) });
      const { plan } = await server.api("POST", "/plan", { part_id: id });
      for (const [name, viewport] of [["desk", { width: 1366, height: 768 }], ["phone", { width: 390, height: 844 }]]) {
        const { page } = await enter({ viewport });
        await page.goto(`${server.address}/#/plan/${id}`);
        await page.locator(".steps tbody tr").nth(39).waitFor();
        const labels = async () => page.locator(".cut text.label").evaluateAll((all) =>
          all.map((one) => {
            const { x, y, width, height } = one.getBoundingClientRect();
            return { text: one.textContent.trim(), x, y: y + height / 2, width };
          }),
        );
        const apart = (all) => {
          for (const a of all) {
            for (const b of all) {
              if (a === b || Math.abs(a.y - b.y) > 8) continue;
              assert.ok(a.x + a.width <= b.x || b.x + b.width <= a.x, `${name}: ${a.text} covers ${b.text}`);
            }
          }
        };
        apart(await labels());
        const numbers = (await labels()).map((one) => parseInt(one.text, 10)).sort((a, b) => a - b);
        assert.deepEqual(numbers, plan.steps.map((_, i) => i + 1), `${name}: every bend has its number on the blank`);
        // A bend that is pressed says its mark on the blank.
        await page.locator(".steps tbody tr").nth(19).locator(".disc").click();
        const mark = plan.steps[19].mark_mm.toFixed(1);
        await page.locator(".cut text.label", { hasText: mark }).waitFor();
        apart(await labels());
        const steps = page.locator("section.steps").first();
        if (name === "phone") {
          assert.ok((await steps.evaluate((e) => e.scrollWidth - e.clientWidth)) <= 1, "the steps slide sideways");
        }
        const said = await steps.innerText();
        for (const step of plan.steps) {
          for (const number of [step.mark_mm, step.mark_from_b_mm, step.set_angle_deg, step.arc_mm, step.wheel_deg]) {
            assert.ok(said.includes(number.toFixed(1)), `${name}: ${number}`);
          }
        }
        await steps.screenshot({ path: path.join(shots, `forty-${name}.png`) }).catch(() => undefined);

        // Dimensions that find no room say so, and all of them are on a list.
        await page.getByRole("button", { name: say("view3d.outside"), exact: true }).click();
        await page.getByText(/dimensions have no room in this view/).click();
        assert.equal(await page.locator(".sizes li").count(), 41);
      }
    },
  },
];
