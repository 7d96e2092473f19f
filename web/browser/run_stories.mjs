// A run looked after: charts, the gauge, the trouble guide, and a plan that changes meanwhile.
import assert from "node:assert/strict";
import path from "node:path";
import { beginRun, openBench } from "./bench_stories.mjs";
import { seriousFindings } from "./browser.mjs";

// A run of a job as the bench keeps it, with pieces made and read: `offs[step][piece]` in degrees.
export async function keepRun(server, id, offs, pieces = 20) {
  const { plan } = await server.api("POST", "/plan", { part_id: id });
  const { run } = await server.api("POST", "/run/start", { part_id: id, pieces });
  const events = [];
  let at = Date.parse("2026-11-20T07:00:00.000Z");
  const press = (what) =>
    events.push({ key: `made-${events.length}`, at: new Date((at += 20_000)).toISOString(), by: "KB", ...what });
  for (let piece = 1; piece <= offs[0].length; ++piece) {
    run.steps.forEach((step, index) => {
      const place = { piece, step: index + 1 };
      press({ do: "hit", ...place, set: step.set });
      press({ do: "measure", ...place, angle: Number((step.angle + offs[index][piece - 1]).toFixed(3)) });
      press({ do: "done", ...place });
    });
    if (piece < offs[0].length) press({ do: "finish", piece, verdict: "good" });
  }
  const document = { ...run, steps: run.steps.map((one) => ({ ...one, tolerance: 0.5 })), events };
  const keypad = await server.api("POST", "/keypad", { part_id: id });
  const begun = {
    name: run.name,
    part_revision: 1,
    cut_length_mm: plan.blank.cut_length_mm,
    steps: plan.steps,
    bend_table: plan.part.bend_table,
    checklist: keypad.checklist,
    keypad,
  };
  const write = (kind, body) =>
    fetch(`${server.address}/api/v1/records/${kind}/seeded-run`, {
      method: "PUT",
      headers: { "Content-Type": "application/json", "If-None-Match": "*" },
      body: JSON.stringify({ document: body, part: id }),
    }).then(async (answer) => assert.ok(answer.ok, await answer.text()));
  await write("attachment", begun);
  await write("run", document);
  return { run: document, plan };
}

// Step 1 wanders a little, step 2 drifts by a tenth a piece, step 3 jumps out, the rest are still.
export const kOffs = (num_steps) => {
  const wander = [0.05, -0.08, 0.02, 0.1, -0.04, -0.1, 0.06, 0.0];
  const drift = [-0.3, -0.21, -0.1, 0.01, 0.1, 0.19, 0.3, 0.4];
  const jump = [0.02, 0.05, -0.06, 0.01, 0.04, -0.03, 0.02, 0.9];
  return Array.from({ length: num_steps }, (_, step) => [wander, drift, jump][step] ?? wander);
};

export const runStories = [
  {
    name: "charts of a run: drift in words, corrected by one press",
    async tell({ server, enter, shots }) {
      const id = await server.partId("pulpit");
      const { run } = await keepRun(server, id, kOffs(4));
      const { page } = await enter({ viewport: { width: 1280, height: 800 }, touch: true });
      await openBench(page, server.address, id);
      const boxes = page.locator(".checklist [role=checkbox]");
      for (let index = 0; index < (await boxes.count()); ++index) await boxes.nth(index).tap();
      // All bends of piece 8 are made: each says how it holds over the run.
      await page.getByRole("button", { name: /^Bend \d over the run/ }).nth(3).waitFor();
      await page.screenshot({ path: path.join(shots, "bench-piece-end.png") });
      await page.getByRole("button", { name: /act before piece/ }).tap();

      // The drift line by a fit of our own: the first piece on it past half a degree.
      const offs = kOffs(4)[1];
      const mean = offs.reduce((sum, one) => sum + one, 0) / 8;
      const slope = offs.reduce((sum, one, index) => sum + (index - 3.5) * (one - mean), 0) / 42;
      let piece = 8;
      while (mean + slope * (piece - 4.5) <= 0.5) ++piece;
      await page.getByText(`Drifting: +${slope.toFixed(2)}° a piece, act before piece ${piece}.`).waitFor();
      const call = page.locator("[data-call]");
      assert.equal(await call.getAttribute("data-call"), "adjust");
      await page.locator(".watch canvas").waitFor();
      await page.screenshot({ path: path.join(shots, "bench-run.png") });
      assert.deepEqual(await seriousFindings(page), []);

      await page.getByRole("button", { name: /^Set \d/ }).tap();
      await page.getByText(/^Set to .* from the next piece on/).waitFor();
      await page.getByText("All kept").waitFor();
      const kept = await server.api("GET", "/records/run/seeded-run");
      const told = kept.document.events.filter((one) => one.do === "set");
      assert.equal(told.length, 1);
      assert.equal(told[0].from_piece, 9);
      assert.ok(told[0].set < run.steps[1].set, "a drift upwards is met by less");
      // The service holds it for the next piece.
      const { state } = await server.api("POST", "/run/status", {
        run_id: "seeded-run",
        events: [
          { key: "f8", at: "2026-11-29T23:00:00Z", do: "finish", piece: 8, verdict: "good" },
          { key: "d9", at: "2026-11-29T23:01:00Z", do: "done", piece: 9, step: 1 },
        ],
      });
      assert.equal(state.next.step, 2);
      assert.equal(state.next.set, told[0].set);

      // At the desk the same run; the bend that jumped out stops the work.
      await page.goto(`${server.address}/#/run/${id}`);
      await page.getByRole("button", { name: /step 3/ }).tap();
      await page.locator("[data-call=stop]").waitFor();
      await page.getByText("Piece 8 is in doubt").waitFor();
    },
  },
  {
    name: "the gauge: readings typed and pasted, what they are good for",
    async tell({ server, enter, shots }) {
      const id = await server.partId("pulpit");
      const { page } = await enter({});
      await page.goto(`${server.address}/#/run/${id}`);
      await page.getByText("10 readings").or(page.getByText("20 readings")).first().waitFor();
      // Two people, five pieces, two readings: typed down the first column, Enter by Enter.
      const readings = [];
      const offs = [0.02, -0.02];
      for (let piece = 0; piece < 5; ++piece) {
        for (let time = 0; time < 2; ++time) {
          readings.push([0, 1].map((who) => (88 + piece + offs[time] + who * 0.01).toFixed(2)));
        }
      }
      await page.locator("[data-at='0-0']").focus();
      for (const [first] of readings) {
        await page.keyboard.type(first);
        await page.keyboard.press("Enter");
      }
      await page.locator("[data-at='1-0']").focus();
      await page.evaluate((text) => {
        const data = new DataTransfer();
        data.setData("text/plain", text);
        const paste = new ClipboardEvent("paste", { clipboardData: data, bubbles: true, cancelable: true });
        document.activeElement.dispatchEvent(paste);
      }, readings.map(([, second]) => second).join("\n"));
      await page.locator("[data-fit]").waitFor();
      const answer = await server.api("POST", "/run/gauge", {
        tolerance_deg: 0.5,
        readings: readings.flatMap((row, index) =>
          row.map((angle, who) => ({ person: "AB"[who], piece: String(Math.floor(index / 2)), angle: Number(angle) })),
        ),
      });
      // Repeatability alone, worked out beside it: every pair is 0.04 apart, so s = 0.04/sqrt(2).
      assert.ok(Math.abs(answer.repeatability.sigma - 0.04 / Math.SQRT2) < 0.01);
      const share = Math.round(answer.share_of_tolerance * 100);
      await page.getByText(`take ${share} % of the tolerance's width`).waitFor();
      await page.screenshot({ path: path.join(shots, "run-gauge.png"), fullPage: true });
      assert.equal(await page.locator("[data-fit]").getAttribute("data-fit"), "usable");
      await page.getByLabel("Tolerance ± (°)").last().fill("0.1");
      await page.locator("[data-fit=poor]").waitFor();
      assert.deepEqual(await seriousFindings(page), []);
    },
  },
  {
    name: "trouble at the bench: one change at a time, kept with the run",
    async tell({ server, enter, shots }) {
      const id = await server.partId("pulpit");
      const { page } = await enter({ viewport: { width: 1280, height: 800 }, touch: true });
      await openBench(page, server.address, id);
      await beginRun(page);
      await page.getByRole("button", { name: "Trouble", exact: true }).tap();
      await page.getByRole("button", { name: /^Wrinkle/ }).tap();
      await page.getByRole("button", { name: "all along the inside" }).tap();
      const what = page.locator(".trouble .what");
      await what.waitFor();
      const first = await what.innerText();
      await page.locator(".trouble .choices button").nth(2).tap(); // the same as before
      await page.getByText("take it back first").waitFor();
      assert.notEqual(await what.innerText(), first);
      await page.screenshot({ path: path.join(shots, "bench-trouble.png") });
      assert.deepEqual(await seriousFindings(page), []);
      await page.getByRole("button", { name: "Take the answer back" }).tap();
      await page.waitForFunction((text) => document.querySelector(".trouble .what")?.textContent === text, first);
      await page.locator(".trouble .choices button").first().tap();
      await page.getByText("Gone.").waitFor();
      await page.getByText("All kept").waitFor();
      const { records } = await server.api("GET", `/records/run?part=${id}`);
      const { state } = await server.api("POST", "/run/status", { run: records[0].document });
      assert.deepEqual(
        state.troubles.map((one) => [one.symptom, one.answer]),
        [["wrinkle", "all"], ["wrinkle", "gone"]],
      );
      // The run shows what was tried and how it ended.
      await page.goto(`${server.address}/#/run/${id}`);
      await page.getByText(`${first}: gone`).waitFor();
      await page.screenshot({ path: path.join(shots, "run-trouble.png"), fullPage: true });
      // From the plan the same guide, by keys.
      await page.goto(`${server.address}/#/plan/${id}`);
      await page.getByRole("button", { name: "Trouble with a bend?" }).press("Enter");
      await page.getByRole("button", { name: /^Flat/ }).press("Enter");
      await page.locator("dialog .choices button").first().waitFor();
      await page.keyboard.press("Escape");
      await page.locator("dialog").waitFor({ state: "detached" });
    },
  },
  {
    name: "checklist and keypad card without the service",
    troubled: true,
    async tell({ server, enter }) {
      const id = await server.partId("pulpit");
      const { page } = await enter({ viewport: { width: 1280, height: 800 }, touch: true, keeps: true });
      await openBench(page, server.address, id);
      await page.waitForFunction(() => navigator.serviceWorker.getRegistration().then((one) => one?.active));
      await page.reload(); // now by the worker, which keeps what passes
      await page.locator(".begin").waitFor();
      const items = (await server.api("POST", "/checklist", { part_id: id })).items;
      const { rows } = await server.api("POST", "/keypad", { part_id: id });
      await page.waitForTimeout(600);
      await server.stop();
      await page.reload();
      await page.locator(".begin").waitFor();
      await beginRun(page);
      await page.getByRole("button", { name: "Checklist" }).tap();
      assert.equal(await page.locator(".checklist [role=checkbox]").count(), items.length);
      await page.getByRole("button", { name: "Keypad" }).tap();
      assert.equal(await page.locator(".keypad tbody tr").count(), rows.length);
    },
  },
  {
    name: "a measured piece counts as trials by one press",
    async tell({ server, enter, shots }) {
      const id = await server.partId("pulpit");
      const { run } = await keepRun(server, id, kOffs(4).map((one) => one.slice(0, 1)));
      // As the inspection keeps a piece: what was set, what it measured.
      const bends = run.steps.map((step) => ({ bend: step.bend, set: step.set, angle: step.angle + 0.2 }));
      bends.sort((a, b) => a.bend - b.bend);
      const document = {
        schema: 1,
        units: "mm",
        piece: "1",
        who: "KB",
        date: "2026-11-20",
        bends: bends.map(({ set, angle }) => ({ set, angle: Number(angle.toFixed(2)) })),
      };
      await server.api("POST", "/records/measurement", { document, part: id });
      const before = (await server.api("GET", "/records/trial?limit=1000")).records.length;
      const { page } = await enter({});
      await page.goto(`${server.address}/#/springback/${id}`);
      const offered = page.locator(".measured li");
      await offered.first().waitFor();
      assert.equal(await offered.count(), run.steps.length);
      await page.getByText("as the run had it").first().waitFor();
      await page.screenshot({ path: path.join(shots, "springback-measured.png"), fullPage: true });
      assert.deepEqual(await seriousFindings(page), []);
      const basis = await page.locator(".law + p").innerText();
      await page.getByRole("button", { name: /^Count these \d bends as trials/ }).press("Enter");
      await page.getByText(`${run.steps.length} measured bends count as trials now.`).waitFor();
      await offered.first().waitFor({ state: "detached" });
      const { records } = await server.api("GET", "/records/trial?limit=1000");
      assert.equal(records.length, before + run.steps.length);
      const own = records.filter((one) => one.document.date === "2026-11-20").map((one) => one.document);
      assert.deepEqual(
        own.map((one) => one.finished).sort((a, b) => a - b),
        document.bends.map((one) => one.angle).sort((a, b) => a - b),
      );
      assert.ok(own.every((one) => one.die === run.steps[0].die && one.bender === run.bender));
      // The line says in words what it rests on now.
      await page.waitForFunction((was) => document.querySelector(".law + p")?.innerText !== was, basis);
    },
  },
  {
    name: "the plan changes while a run goes on",
    async tell({ server, enter, shots }) {
      const id = await server.partId("pulpit");
      const { page } = await enter({ viewport: { width: 1280, height: 800 }, touch: true });
      await openBench(page, server.address, id);
      await beginRun(page);
      await page.getByText("All kept").waitFor();
      const record = await server.api("GET", `/records/part/${id}`);
      const document = structuredClone(record.document);
      document.line.corners.at(-1)[0] += 7;
      const answer = await fetch(`${server.address}/api/v1/records/part/${id}`, {
        method: "PUT",
        headers: { "Content-Type": "application/json", "If-Match": `"r${record.revision}"` },
        body: JSON.stringify({ document }),
      });
      assert.ok(answer.ok, await answer.text());
      await page.getByText(/The plan is no longer what this run was begun with: .*cut length/).waitFor();
      await page.screenshot({ path: path.join(shots, "bench-changed.png") });
      await page.getByRole("button", { name: "Go on as begun" }).tap();
      await page.locator(".news").waitFor({ state: "detached" });
      await page.reload();
      await page.getByText(/no longer what this run was begun with/).waitFor();
    },
  },
];
