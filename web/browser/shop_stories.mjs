// At the shelves of the shop: what a person puts there is what parts are planned with.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import path from "node:path";
import { focusFindings, seriousFindings, tabTo, touchFindings } from "./browser.mjs";
import { program } from "./server.mjs";

const words = JSON.parse(
  readFileSync(path.resolve(import.meta.dirname, "../src/locales/en.json"), "utf8"),
);
const say = (key) => words[key];
const kept = (page) => page.locator(".form").getByRole("button", { name: say("shop.keep"), disabled: true }).waitFor();

export const shopStories = [
  {
    name: "shelves are drawn to one scale and stand in order of size",
    async tell({ server, enter, shots }) {
      const { page } = await enter({});
      const cards = page.locator(".cards .card");
      const names = () => page.locator(".cards .card strong").allTextContents();
      await page.goto(`${server.address}/#/shop/die_set`);
      await cards.first().waitFor();
      await page.waitForFunction(() => document.querySelectorAll(".cards svg.to-scale").length === 10);
      assert.deepEqual(await names(), ["12R36", "EMT34", "25R50", "25R75", "30SQ-R90", "33R100", "38R76", "38R114", "42R130", "48R145"]);
      // The dashed circle is the die's radius: as wide on paper, one to another, as in the document.
      const wide = async (name) => (await cards.filter({ hasText: name }).locator("circle.line").boundingBox()).width;
      const [small, large] = [await wide("25R75"), await wide("48R145")];
      assert.ok(Math.abs(large / small - 145 / 75) < 0.05, `${large} to ${small}`);
      assert.equal(await cards.filter({ hasText: "38R76" }).locator(".wiper").count(), 1);
      assert.equal(await cards.filter({ hasText: "48R145" }).locator(".mandrel, .wiper").count(), 0);
      await cards.filter({ hasText: "30SQ-R90" }).getByText("Groove 30 × 30 mm").waitFor();
      assert.deepEqual(await seriousFindings(page), []);

      await page.goto(`${server.address}/#/shop/bender`);
      await cards.filter({ hasText: "Spoonbill" }).getByText("Torque 2600 N·m").waitFor();
      assert.deepEqual(await names(), ["Wagtail", "Spoonbill", "Heron"]);
      assert.equal(await page.locator(".cards .around svg").count(), 3);

      // Pipe by its nominal size is as large as pipe is: 48.26 mm beside 25.
      await page.goto(`${server.address}/#/shop/tube`);
      await cards.filter({ hasText: "NPS 1-1/2" }).locator(".picture svg").waitFor();
      assert.deepEqual((await names()).map((name) => name.split(" · ")[0]), ["12 x 1.5", "25 x 1.5", "25 x 1.5", "1-1/2 x 0.065 in tube", "NPS 1-1/2 Sch 40 pipe"]);
      const across = async (name) => (await cards.filter({ hasText: name }).first().locator(".picture path").boundingBox()).width;
      const [pipe, tube] = [await across("NPS 1-1/2"), await across("S118")];
      assert.ok(Math.abs(pipe / tube - 48.26 / 25) < 0.08, `${pipe} to ${tube}`);
      await cards.filter({ hasText: "H77" }).getByText("6 sticks of 6000 mm").waitFor();
      await page.screenshot({ path: path.join(shots, "shop-rack.png") });
      assert.deepEqual(await seriousFindings(page), []);
    },
  },
  {
    name: "what the shop has is offered while a job is typed",
    async tell({ server, enter, shots }) {
      const { page } = await enter({});
      await page.goto(`${server.address}/#/new/cells`);
      const size = page.getByRole("combobox", { name: say("field.size"), exact: true });
      const options = page.getByRole("option");
      // Before anything is typed: the rack, how much lies there, and the sizes of the dies.
      await size.click();
      await options.first().waitFor();
      await page.getByRole("option", { name: "25 x 1.5 316L annealed · 3 sticks of 6000 mm, 2 sticks of 2310 mm" }).waitFor();
      await page.getByRole("option", { name: /^33.4 mm 33R100 · then the wall/ }).waitFor();
      await page.screenshot({ path: path.join(shots, "new-rack.png") });
      assert.deepEqual(await seriousFindings(page), []);
      // A die's size leads on to the walls of the tables.
      await page.getByRole("option", { name: /^42.4 mm/ }).click();
      assert.equal(await size.inputValue(), "42.4 x ");
      await page.getByRole("option", { name: /^42.4 x / }).first().waitFor();
      // Tube from the rack brings its metal along.
      await size.fill("25");
      await page.waitForFunction(() => document.querySelector("[role=option] strong")?.textContent === "25 x 1.5");
      await page.keyboard.press("ArrowDown");
      await page.locator("[role=option][aria-selected=true]").waitFor();
      await page.keyboard.press("Enter");
      assert.equal(await size.inputValue(), "25 x 1.5");
      assert.equal(await page.getByRole("combobox", { name: "Metal" }).inputValue(), "316L annealed");

      // The radius is asked for: the dies that take this tube first.
      await page.locator("#cells").fill("X\tY\tZ\n0\t0\t0\n400\t0\t0\n400\t300\t0");
      const millimetres = page.getByRole("button", { name: "millimetres" });
      await millimetres.focus();
      await page.keyboard.press("Enter");
      const radius = page.getByRole("combobox", { name: /centreline radius/ });
      // The answered question is gone and the next one has the focus; nothing lies over the cells
      // until it is opened.
      await page.waitForFunction(() => document.activeElement.getAttribute("role") === "combobox");
      await page.waitForTimeout(600);
      assert.equal(await page.locator(".list:popover-open").count(), 0, "the list opened by itself");
      await page.keyboard.press("ArrowDown");
      await options.first().waitFor();
      assert.deepEqual((await options.locator("strong").allTextContents()).slice(0, 3), ["50 mm", "75 mm", "36 mm"]);
      await page.getByRole("option", { name: "75 mm 25R75" }).waitFor();
      const bare = await radius.evaluate((field) => {
        const { left, bottom } = field.getBoundingClientRect();
        return document.elementFromPoint(left + 9, bottom - 3) === field;
      });
      assert.ok(bare, "the field in question is in sight");
      await page.screenshot({ path: path.join(shots, "new-radius.png") });
      await radius.fill("77"); // no die has it: typed past
      await page.keyboard.press("Enter");
      await page.getByText("77", { exact: true }).waitFor();
      await page.locator(".said button").last().click();
      await radius.waitFor();
      await page.waitForFunction(() => document.activeElement.getAttribute("role") === "combobox");
      // What is pasted into it is no typing.
      await radius.evaluate((field) => {
        field.value = "7";
        field.dispatchEvent(new InputEvent("input", { inputType: "insertFromPaste", bubbles: true }));
      });
      await page.waitForTimeout(600);
      assert.equal(await page.locator(".list:popover-open").count(), 0, "the list opened after a paste");
      await radius.fill("");
      await page.getByRole("option", { name: "75 mm 25R75" }).click();
      await page.getByRole("button", { name: say("new.create"), disabled: false }).waitFor();
      await page.getByText("75 mm", { exact: true }).waitFor();

      // At the foot of the window the list opens upwards, whole, over whatever is there.
      await page.setViewportSize({ width: 1366, height: 420 });
      await page.goto(`${server.address}/#/new/shape`);
      const bend = page.getByRole("combobox", { name: /radius/i });
      await bend.waitFor();
      await bend.evaluate((field) => field.scrollIntoView({ block: "end" }));
      await bend.click();
      await page.locator(".list:popover-open .one").first().waitFor();
      const [field, list] = [await bend.boundingBox(), await page.locator("[role=listbox]:popover-open").boundingBox()];
      assert.ok(list.y >= 0 && list.y + list.height <= field.y - 15, JSON.stringify([field, list]));
      const seen = await page.evaluate(
        ([x, y]) => document.elementFromPoint(x, y).closest("[role=listbox]") !== null,
        [list.x + 20, list.y + 12],
      );
      assert.ok(seen, "nothing lies over the list");
      await page.screenshot({ path: path.join(shots, "new-list-above.png") });
      await page.keyboard.press("Escape");
      await page.waitForFunction(() => document.querySelector("[role=listbox]:popover-open") === null);
    },
  },
  {
    name: "a material of one's own, from the shelf to the plan",
    async tell({ server, enter, shots }) {
      const { page } = await enter({});
      const id = await server.partId("pulpit");
      const before = await server.api("POST", "/plan", { part_id: id });
      await page.goto(`${server.address}/#/shop/material`);
      await page.getByRole("link", { name: /304L north rack/ }).first().waitFor();
      await page.getByRole("link", { name: "Add a material" }).click();
      const form = page.locator(".form");
      await form.getByLabel("Name *").fill("Sallow DOM");
      await form.getByRole("combobox", { name: say("shop.like") }).fill("1020 DOM as");
      await page.getByRole("option").first().click();
      await form.getByText(/the grey numbers/).waitFor();
      await form.getByLabel(/^Rp0.2/).fill("70000");
      await form.getByText(/yield strength of 70000 MPa cannot be/).waitFor();
      assert.equal(await form.getByRole("button", { name: say("shop.keep") }).isDisabled(), true);
      await form.getByLabel(/^Rp0.2/).fill("70 kips");
      await form.getByText(/has a unit that is not MPa/).waitFor();
      await form.getByLabel(/^Rp0.2/).fill("82 ksi");
      await form.getByLabel(/^Rm/).fill("640");
      const strength = form.getByRole("group", { name: say("shop.group_strengths") });
      await strength.getByLabel(say("shop.strengths_from"), { exact: true }).selectOption("certificate");
      await strength.getByLabel(say("shop.strengths_source")).fill("certificate 4711");
      await form.getByRole("button", { name: say("shop.keep") }).click();
      await page.waitForURL(/shop\/material\/(?!new)/);
      await kept(page);
      await page.getByRole("row", { name: /Sallow DOM/ }).getByText(say("metal.own"), { exact: true }).waitFor();
      await page.screenshot({ path: path.join(shots, "shop-material.png") });
      assert.deepEqual(await seriousFindings(page), []);
      const stored = (await server.api("GET", "/records/material?limit=10")).records.find((r) => r.document.name === "Sallow DOM");
      assert.equal(stored.document.rp02, "82 ksi");

      // On the part it is offered first and said to be one's own.
      await page.goto(`${server.address}/#/part/${id}`);
      await page.getByRole("combobox", { name: say("field.material"), exact: true }).fill("sallow");
      await page.getByRole("option", { name: /Sallow DOM yours/ }).click();
      await page.locator(".safe.kept").waitFor();
      await page.waitForFunction(
        async (part) => (await (await fetch(`./api/v1/records/part/${part}`)).json()).document.tube.material === "Sallow DOM",
        id,
      );
      const after = await server.api("POST", "/plan", { part_id: id });
      assert.equal(after.plan.part.tube.material, "Sallow DOM");
      assert.notEqual(JSON.stringify(after.plan.springbacks), JSON.stringify(before.plan.springbacks));
      assert.match(after.plan.part.tube.rp02_mpa.source, /certificate 4711/);
      await page.goto(`${server.address}/#/plan/${id}`);
      await page.getByText(/565 MPa.*certificate 4711/).waitFor();

      // Own numbers in the place of a built-in metal: every part that names it has them.
      await page.goto(`${server.address}/#/shop/material`);
      await page.getByRole("searchbox").fill("304L annealed");
      await page.getByRole("button", { name: "Own numbers for 304L annealed" }).click();
      await form.getByText(/Stands in place of the built-in 304L annealed/).waitFor();
      await form.getByLabel(/^Rp0.2/).fill("255");
      await page.reload(); // nothing typed is lost by it
      await page.waitForFunction(() => [...document.querySelectorAll(".form input")].some((one) => one.value === "255"));
      await form.getByText(/Stands in place of the built-in 304L annealed/).waitFor();
      await form.getByRole("button", { name: say("shop.keep") }).click();
      await page.getByRole("row", { name: /304L annealed/ }).getByText(say("metal.instead")).waitFor();
      const metals = (await server.api("GET", "/catalogue")).metals;
      assert.equal(metals.find((m) => m.name === "304L annealed").rp02_mpa, 255);
      // Taken off the list, the built-in one is back.
      await form.getByRole("button", { name: say("shop.take_off") }).click();
      await page.getByRole("button", { name: "Own numbers for 304L annealed" }).waitFor();
    },
  },
  {
    name: "the shop by keyboard: add, edit, undo, take off, put back",
    async tell({ server, enter, shots }) {
      const { page } = await enter({});
      const focused = (test, arg) => page.waitForFunction(test, arg);
      const onButton = (text) => tabTo(page, (name) => document.activeElement.textContent.trim() === name, text);
      await page.goto(`${server.address}/#/jobs`);
      await page.locator("input[type=search]").waitFor();
      await tabTo(page, () => document.activeElement.getAttribute("href")?.startsWith("#/shop"));
      await page.keyboard.press("Enter");
      await page.locator(".cards .card").first().waitFor();
      await tabTo(page, () => document.activeElement.matches("[data-add]"));
      await page.keyboard.press("Enter");
      // The form opens with the focus in its first field; half a die set is not lost by Escape.
      await focused(() => document.activeElement.matches(".form input"));
      await page.keyboard.type("38R114");
      await page.locator(".form .wrong").getByText(/stands on the shelf already/).waitFor();
      await page.keyboard.press("End");
      await page.keyboard.type("-2");
      await page.locator(".form .wrong").waitFor({ state: "detached" });
      await page.keyboard.press("Escape");
      const dialog = page.getByRole("dialog");
      await dialog.getByText("What was typed for 38R114-2 is not kept yet.").waitFor();
      assert.deepEqual(await seriousFindings(page), []);
      await page.keyboard.press("Enter"); // go on typing
      await dialog.waitFor({ state: "detached" });
      await focused(() => document.activeElement.value === "38R114-2");
      for (const value of ["114.3", "38.1", "95"]) {
        await page.keyboard.press("Tab");
        await page.keyboard.type(value);
      }
      await page.locator(".form svg.to-scale").waitFor(); // drawn while it is typed
      await page.waitForFunction((text) => [...document.querySelectorAll(".form button")].some((one) => one.textContent === text && !one.disabled), say("shop.keep"));
      await onButton(say("shop.keep"));
      await page.keyboard.press("Enter");
      await page.waitForURL(/shop\/die_set\/(?!new)/);
      await page.getByText(say("shop.news_kept"), { exact: true }).waitFor();
      await focused(() => document.activeElement.tagName === "H2");
      const id = /die_set\/([a-z0-9_-]+)/.exec(page.url())[1];
      // Closed again, the focus is on its card; and from there into it.
      await page.keyboard.press("Escape");
      await focused((card) => document.activeElement.dataset.card === card, id);
      await page.keyboard.press("Enter");
      await focused(() => document.activeElement.tagName === "H2");
      await tabTo(page, () => document.activeElement.value === "95");
      await page.keyboard.press("Control+a");
      await page.keyboard.type("96");
      // What is typed stays while one looks elsewhere, and when the page is loaded anew.
      await page.goto(`${server.address}/#/shop/bender`);
      await page.locator(".card .around").first().waitFor();
      await page.goto(`${server.address}/#/shop/die_set`);
      await page.locator(`[data-card="${id}"]`).getByText(say("shop.not_kept")).waitFor();
      await page.reload();
      await page.locator(`[data-card="${id}"]`).getByText(say("shop.not_kept")).waitFor();
      await page.locator(`[data-card="${id}"]`).focus();
      await page.keyboard.press("Enter");
      await tabTo(page, () => document.activeElement.value === "96");
      await page.waitForFunction((text) => [...document.querySelectorAll(".form button")].some((one) => one.textContent === text && !one.disabled), say("shop.keep"));
      await onButton(say("shop.keep"));
      await page.keyboard.press("Enter");
      await focused(() => document.activeElement.tagName === "H2");
      const clamp = async () => (await server.api("GET", `/records/die_set/${id}`)).document.clamp;
      assert.equal(await clamp(), 96);
      assert.equal(await page.evaluate(() => sessionStorage.getItem("bight.drafts")), null);
      await onButton(say("shop.undo"));
      await page.keyboard.press("Enter");
      await page.getByText(say("shop.news_undone")).waitFor();
      assert.equal(await clamp(), 95);
      await onButton(say("shop.take_off"));
      await page.keyboard.press("Enter");
      await focused((text) => document.activeElement.textContent === text, say("shop.put_back"));
      await page.getByText("38R114-2 is off the list.").waitFor();
      await page.locator(`[data-card="${id}"]`).waitFor({ state: "detached" });
      await page.keyboard.press("Enter");
      await focused((card) => document.activeElement.dataset.card === card, id);
      const { history } = await server.api("GET", `/records/die_set/${id}/history?limit=20`);
      assert.deepEqual(history.map((one) => one.deed).reverse(), ["put", "put", "undo", "withdraw", "restore"]);

      // What a file would bring is looked at and left; the focus is on the way in again.
      const chooser = page.locator("input[type=file]");
      await chooser.focus();
      await chooser.setInputFiles([{ name: "rack.toml", mimeType: "application/toml", buffer: Buffer.from('[[tube]]\nsize = "25 x 2"\nmaterial = "316L annealed"\n') }]);
      await dialog.getByText("25 x 2").first().waitFor();
      await page.keyboard.press("Escape");
      await focused(() => document.activeElement.matches("input[type=file]"));
      await page.screenshot({ path: path.join(shots, "shop-keyboard.png") });
    },
  },
  {
    name: "every shelf and form: focus seen, nothing over it, fit for fingers",
    async tell({ server, enter }) {
      const wrong = [];
      const ids = {};
      for (const kind of ["die_set", "bender", "tube", "material", "trial", "house"]) {
        ids[kind] = (await server.api("GET", `/records/${kind}?limit=1`)).records[0].id;
      }
      for (const how of [{ viewport: { width: 1366, height: 768 }, dark: true }, { viewport: { width: 390, height: 844 }, touch: true }]) {
        const { page } = await enter(how);
        const findings = how.touch ? touchFindings : focusFindings;
        for (const [kind, id] of Object.entries(ids)) {
          for (const form of [false, true]) {
            const address = form ? `#/shop/${kind}/${id}` : `#/shop/${kind}`;
            await page.goto(`${server.address}/${address}`);
            await page.locator(form ? ".form" : ".card").first().waitFor();
            await page.waitForTimeout(250);
            const where = `${how.viewport.width} ${kind}${form ? ", form" : ""}`;
            // Of a long list the first rows speak for the rest.
            for (const one of await findings(page, form ? 120 : 35)) wrong.push(`${where} ${one}`);
            if (!how.touch) for (const one of await seriousFindings(page)) wrong.push(`${where} ${one}`);
            const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
            if (wide > 1) wrong.push(`${where} scrolls sideways by ${wide}`);
          }
        }
        for (const way of ["cells", "file", "shape", "blank"]) {
          await page.goto(`${server.address}/#/new/${way}`);
          await page.locator("main h1").waitFor();
          await page.waitForTimeout(250);
          for (const one of await findings(page)) wrong.push(`${how.viewport.width} new/${way} ${one}`);
          if (!how.touch) for (const one of await seriousFindings(page)) wrong.push(`${how.viewport.width} new/${way} ${one}`);
        }
      }
      assert.equal(wrong.join("; "), "");
    },
  },
  {
    name: "any trial bend is taken back and brought back",
    async tell({ server, enter, shots }) {
      const { page } = await enter({});
      const id = await server.partId("gate brace");
      const asked = () => server.api("POST", "/springback", { part_id: id });
      const first = await asked();
      const mine = first.trials.filter((trial) => trial.own);
      assert.ok(mine.length >= 2, "the demo has trials of this tube");
      const oldest = mine[0];
      await page.goto(`${server.address}/#/springback/${id}`);
      const named = (trial) => `${trial.set_deg.toFixed(1)}° that came out at ${trial.finished_deg.toFixed(1)}°`;
      const takeBack = page.getByRole("button", { name: `Take back ${named(oldest)}` });
      await takeBack.focus();
      await page.keyboard.press("Enter");
      // The other half of the pair has the focus; it counts no more.
      const bring = page.getByRole("button", { name: `Bring back ${named(oldest)}` });
      await bring.waitFor();
      await takeBack.waitFor({ state: "detached" });
      await page.waitForFunction(() => document.activeElement.textContent === "Bring back");
      const less = await asked();
      assert.equal(less.trials.some((trial) => trial.id === oldest.id), false);
      await page.screenshot({ path: path.join(shots, "springback-taken-back.png") });
      assert.deepEqual(await seriousFindings(page), []);
      // Seen again after coming back to the page, and brought back from there.
      await page.goto(`${server.address}/#/jobs`);
      await page.locator("input[type=search]").waitFor();
      await page.goto(`${server.address}/#/springback/${id}`);
      await page.getByText("1 taken back").click();
      await bring.click();
      await takeBack.waitFor();
      assert.deepEqual((await asked()).trials, first.trials);
      const { history } = await server.api("GET", `/records/trial/${oldest.id}/history?limit=10`);
      assert.deepEqual(history.map((one) => one.deed).sort(), ["put", "restore", "withdraw"]);
    },
  },
  {
    name: "text files of the shop, looked at and taken in",
    async tell({ server, enter, shots }) {
      const { page } = await enter({});
      await page.goto(`${server.address}/#/shop/die_set`);
      await page.getByRole("link", { name: /38R114/ }).first().waitFor();
      const demo = path.resolve(import.meta.dirname, "../../examples/fenwater");
      const dies = readFileSync(path.join(demo, "die_sets.toml"), "utf8");
      const file = (name, text) => ({ name, mimeType: "application/toml", buffer: Buffer.from(text) });
      const chooser = page.locator("input[type=file]");
      const dialog = page.getByRole("dialog");

      // One die set changed, one new, tube for the rack, and a file with a slip of the finger.
      const changed = dies.replace(/^clamp = .*$/m, "clamp = 91.5");
      await chooser.setInputFiles([
        file("die_sets.toml", `${changed}\n[[die_set]]\nname = "Sallow 51R150"\nradius = 150\ngroove = 50.8\nclamp = 110\n`),
        file("rack.toml", '[[tube]]\nsize = "38.1 x 1.65"\nmaterial = "304L north rack"\npieces = 6\n'),
        file("slip.toml", '[[die_set]]\nname = "Slip"\nradius = "7O"\ngroove = 25\nclamp = 60\n'),
      ]);
      await dialog.getByText("Sallow 51R150").waitFor();
      await dialog.getByText("changes: Clamp needs").waitFor();
      await dialog.getByText(/line 3 · Slip · radius: .*7O/).waitFor();
      await page.screenshot({ path: path.join(shots, "shop-import.png") });
      assert.deepEqual(await seriousFindings(page), []);
      const count = async (kind) => (await server.api("GET", `/records/${kind}?limit=0`)).total;
      const before = await count("die_set");
      await dialog.getByRole("button", { name: say("archive.take_good") }).click();
      await dialog.getByText("3 entries taken in.").waitFor();
      assert.equal(await count("die_set"), before + 1);
      assert.equal((await server.api("GET", "/records/tube?limit=10")).records.filter((r) => r.document.material === "304L north rack").length, 1);
      await dialog.getByRole("button", { name: say("dialog.close") }).last().click();

      // One entry as a file, dropped on the page again: nothing to do.
      await page.getByRole("link", { name: /Sallow 51R150/ }).click();
      const [download] = await Promise.all([page.waitForEvent("download"), page.getByRole("link", { name: say("shop.as_file") }).click()]);
      const text = readFileSync(await download.path(), "utf8");
      assert.match(text, /\[\[die_set\]\]/);
      await page.evaluate((dropped) => {
        const data = new DataTransfer();
        data.items.add(new File([dropped], "sallow.toml"));
        window.dispatchEvent(new DragEvent("drop", { dataTransfer: data, bubbles: true, cancelable: true }));
      }, text);
      await dialog.getByText(say("archive.same"), { exact: true }).waitFor();
      await dialog.getByText(say("archive.nothing")).waitFor();
      await page.keyboard.press("Escape");

      // The archive of the command line is the page's, and the other way round.
      const data = path.join(server.folder, "data");
      const own = path.join(server.folder, "own.zip");
      const run = (...words) => execFileSync(program, ["shop", ...words, "--data", data], { env: { ...process.env, BIGHT_STORE: "" } }).toString();
      run("export", own);
      await chooser.setInputFiles([{ name: "own.zip", mimeType: "application/zip", buffer: readFileSync(own) }]);
      await dialog.getByText(/^0 new records, 0 with further versions/).waitFor();
      await page.keyboard.press("Escape");
      const [whole] = await Promise.all([page.waitForEvent("download"), page.getByRole("link", { name: say("archive.out") }).click()]);
      assert.match(run("import", await whole.path(), "--look"), /^0 new, 0 continued/);
      // And as text files: out of these records, into them, with nothing changed.
      const folder = path.join(server.folder, "texts");
      run("write-folder", folder);
      assert.match(run("take-folder", folder), /^0 new, 0 changed/);
    },
  },
];
