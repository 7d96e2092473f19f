// At the machine, with a finger only.
import assert from "node:assert/strict";

// The metal of a story: a little springier than the plan knows, as a new heat may be. What a bend
// reads with the tube free, on a gauge of a tenth.
async function metalOf(server, id) {
  const { plan } = await server.api("POST", "/plan", { part_id: id });
  const [a, b] = [plan.springbacks[0].a_deg + 0.9, plan.springbacks[0].b];
  return (set) => Math.round((set - a - b * set) * 10) / 10;
}

export async function enterNumber(page, value) {
  for (const key of String(value)) {
    await page.locator(".pad .keys button", { hasText: key === "." ? /^[.,]$/ : key }).first().tap();
  }
  await page.getByRole("button", { name: "Enter" }).tap();
}

const shownSet = async (page) =>
  Number(await page.locator("[data-set]").first().getAttribute("data-set"));
const counted = (page) =>
  page.locator(".count").evaluate((node) => ({
    piece: Number(node.dataset.piece),
    step: Number(node.dataset.step),
  }));

export async function openBench(page, base, id) {
  await page.goto(`${base}/#/bench/${id}`);
  await page.locator(".begin, .checklist, .step, .end").first().waitFor();
}

export async function beginRun(page) {
  await page.getByRole("button", { name: "Begin the run" }).tap();
  await page.locator(".checklist").waitFor();
  assert.equal(await page.getByRole("button", { name: "Bending", exact: true }).isDisabled(), true);
  const boxes = page.locator(".checklist [role=checkbox]");
  const count = await boxes.count();
  for (let index = 0; index < count; ++index) await boxes.nth(index).tap();
  await page.locator(".step[data-phase=place]").waitFor();
}

// One bend from mark to right: hit, read, top up as told. Gives the hits made.
export async function makeBend(page, finished) {
  for (let hits = 1; hits <= 4; ++hits) {
    await page.locator("[data-told=true]").first().waitFor(); // the service's better advice is there
    const set = await shownSet(page);
    const name = hits === 1 ? /^Bent$/ : /^Bent again/;
    await page.getByRole("button", { name }).tap();
    await enterNumber(page, finished(set).toFixed(1));
    await page.locator(".verdict").waitFor();
    if ((await page.locator(".verdict.good").count()) > 0) {
      await page.getByRole("button", { name: /^(Next bend|Piece is bent)$/ }).tap();
      return hits;
    }
    assert.equal(await page.locator(".verdict.past").count(), 0, "overbent");
  }
  throw new Error("four hits were not enough");
}

// Every pressable thing is at least 15 mm: 56.7 px.
async function buttonsAreLarge(page) {
  const small = await page.locator(".at-bench button, .at-bench a.button").evaluateAll((all) =>
    all
      .map((one) => ({ box: one.getBoundingClientRect(), text: one.textContent?.trim() }))
      .filter(({ box }) => box.width > 0 && (box.width < 56.7 || box.height < 56.7))
      .map(({ box, text }) => `${text} ${box.width.toFixed(0)}x${box.height.toFixed(0)}`),
  );
  assert.deepEqual(small, []);
}

export const benchStories = [
  {
    name: "first piece of the pulpit rail, by finger",
    async tell({ server, enter }) {
      const id = await server.partId("pulpit");
      const { page } = await enter({ viewport: { width: 1280, height: 800 }, touch: true });
      await openBench(page, server.address, id);
      await beginRun(page);
      await buttonsAreLarge(page);
      const { plan } = await server.api("POST", "/plan", { part_id: id });
      const finished = await metalOf(server, id);
      let hits = 0;
      while ((await page.locator(".step").count()) > 0) hits += await makeBend(page, finished);
      await page.getByText("Piece 1: all bends made").waitFor();
      await page.getByRole("button", { name: "Keep readings as trial bends" }).tap();
      await page.getByRole("button", { name: "Kept as trial bends" }).waitFor();
      const trials = await server.api("GET", "/records/trial");
      const runs = await server.api("GET", `/records/run?part=${id}`);
      const deeds = runs.records[0].document.events;
      assert.equal(deeds.filter((deed) => deed.do === "hit").length, hits);
      assert.ok(hits > plan.steps.length, "a springier heat takes a second hit");
      assert.equal(new Set(deeds.map((deed) => deed.key)).size, deeds.length);
      const own = trials.records.filter((one) => one.document.finished < 90 && one.document.heat === "S118");
      assert.ok(own.length >= 4, "readings are trial bends");
      await page.getByRole("button", { name: "Good, next piece" }).tap();
      assert.deepEqual(await counted(page), { piece: 2, step: 0 });
    },
  },
  {
    name: "power fails in mid-piece, the bench goes on",
    troubled: true, // the browser complains of the lost service
    async tell({ server, enter }) {
      const id = await server.partId("pulpit");
      const { page } = await enter({ viewport: { width: 1280, height: 800 }, touch: true });
      await openBench(page, server.address, id);
      await beginRun(page);
      const finished = await metalOf(server, id);
      await makeBend(page, finished);
      await page.getByText("All kept").waitFor();
      await server.stop("SIGKILL");
      // The press that meets the dead service waits in the page.
      await page.getByRole("button", { name: /^Bent$/ }).tap();
      await page.getByText(/wait.? for the service/).waitFor();
      await enterNumber(page, "31.0");
      await server.start();
      await page.getByText("All kept").waitFor({ timeout: 15_000 });
      const again = await enter({ viewport: { width: 1280, height: 800 }, touch: true });
      await openBench(again.page, server.address, id);
      assert.deepEqual(await counted(again.page), { piece: 1, step: 1 });
      await again.page.locator(".step[data-phase=judge]").waitFor();
      const runs = await server.api("GET", `/records/run?part=${id}`);
      const deeds = runs.records[0].document.events;
      assert.equal(deeds.filter((deed) => deed.do === "measure").at(-1).angle, 31);
      assert.equal(new Set(deeds.map((deed) => deed.key)).size, deeds.length);
      // The first page, reloaded, stands at the same place.
      await page.reload();
      await page.locator(".step[data-phase=judge]").waitFor();
      assert.deepEqual(await counted(page), { piece: 1, step: 1 });
    },
  },
  {
    name: "a press is taken back, a keypad card read back",
    async tell({ server, enter }) {
      const id = await server.partId("pulpit");
      const { page } = await enter({ viewport: { width: 1366, height: 768 }, touch: true });
      await openBench(page, server.address, id);
      await beginRun(page);
      await page.getByRole("button", { name: /^Bent$/ }).tap();
      await page.getByRole("button", { name: "Take back" }).tap();
      await page.locator(".step[data-phase=place]").waitFor();
      await page.getByRole("button", { name: "Keypad" }).tap();
      const rows = page.locator(".keypad tbody tr");
      // The service's own card, set angles as the plan has them.
      const { plan } = await server.api("POST", "/plan", { part_id: id });
      const keypad = await server.api("POST", "/keypad", { part_id: id });
      const number = (text) => Number(text.replace("−", "-").replace("✎", ""));
      const asked = keypad.columns.map((one) => one.asks);
      const column = (asks) => page.locator(`.keypad tbody td[data-asks=${asks}]`).allInnerTexts();
      for (const [index, asks] of asked.entries()) {
        const own = keypad.rows.map((row) => Number(row.cells[index]));
        assert.deepEqual((await column(asks)).map(number), own, asks);
      }
      let sum = 0;
      for (let index = 0; index < (await rows.count()); ++index) {
        const [angle, back] = [await column("angle"), await column("springback")].map((all) => number(all[index]));
        assert.ok(Math.abs(angle + back - plan.steps[index].set_angle_deg) < 0.051);
        sum += angle;
        await rows.nth(index).getByRole("checkbox").tap();
      }
      const total = number(await page.locator(".keypad tfoot td[data-asks=angle]").innerText());
      assert.ok(Math.abs(total - sum) < 0.001, `${total} against ${sum}`);
      assert.equal(await page.locator(".keypad tr.done").count(), await rows.count());
    },
  },
  {
    name: "measured piece: correction, undo, verdict, signed",
    async tell({ server, enter }) {
      const id = await server.partId("pulpit");
      const { plan } = await server.api("POST", "/plan", { part_id: id });
      const { page } = await enter({});
      await page.goto(`${server.address}/#/inspect/${id}`);
      const rows = plan.part.bend_table;
      // Bend 2 came out a degree short, everything else is right.
      for (const [index, row] of rows.entries()) {
        const angle = row.angle_deg - (index === 1 ? 1 : 0);
        await page.getByLabel(`Angle ${index + 1}`, { exact: true }).fill(angle.toFixed(2));
        await page.keyboard.press("Tab");
      }
      const changed = page.locator("tr[data-what='set angle 2'].changed");
      await changed.waitFor();
      const [, , old, next] = (await changed.locator("td").allInnerTexts()).map((text) =>
        Number(text.replace("°", "").replace("–", "NaN")),
      );
      // new = last + (wanted - measured) / (1 - b), b of the plan's line for that die.
      const law = plan.springbacks[0];
      assert.ok(Math.abs(next - old - 1 / (1 - law.b)) < 0.03, `${old} to ${next}`);
      await page.getByRole("button", { name: "Undo" }).click();
      await page.getByRole("button", { name: "Redo" }).click();
      await page.getByText("What was agreed").click();
      await page.getByLabel("Angles ±").fill("0.5");
      await page.keyboard.press("Tab");
      await page.locator("[data-verdict=outside]").waitFor();
      await page.getByLabel("Angle 2", { exact: true }).fill(rows[1].angle_deg.toFixed(2));
      await page.keyboard.press("Tab");
      await page.locator("[data-verdict=within]").waitFor();
      await page.getByLabel("Your initials").fill("KB");
      await page.getByRole("button", { name: "Sign and keep" }).click();
      await page.getByText("Kept, signed KB").waitFor();
      const kept = await server.api("GET", `/records/measurement?part=${id}`);
      assert.equal(kept.records[0].document.who, "KB");
    },
  },
];
