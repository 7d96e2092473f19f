// At the shelves of the shop: what a person puts there is what parts are planned with.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import path from "node:path";
import { seriousFindings } from "./browser.mjs";

const words = JSON.parse(
  readFileSync(path.resolve(import.meta.dirname, "../src/locales/en.json"), "utf8"),
);
const say = (key) => words[key];
const kept = (page) => page.locator(".form").getByRole("button", { name: say("shop.keep"), disabled: true }).waitFor();

export const shopStories = [
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
      await form.getByRole("button", { name: say("shop.keep") }).click();
      await page.getByRole("row", { name: /304L annealed/ }).getByText(say("metal.instead")).waitFor();
      const metals = (await server.api("GET", "/catalogue")).metals;
      assert.equal(metals.find((m) => m.name === "304L annealed").rp02_mpa, 255);
      // Taken off the list, the built-in one is back.
      await form.getByRole("button", { name: say("shop.take_off") }).click();
      await page.getByRole("button", { name: "Own numbers for 304L annealed" }).waitFor();
    },
  },
];
