// Pictures of every page in light and dark at two sizes, and what a tool can find wrong with them.
import assert from "node:assert/strict";
import path from "node:path";
import { seriousFindings } from "./browser.mjs";

const sizes = [
  { name: "desk", width: 1366, height: 768 },
  { name: "tablet", width: 1024, height: 768 },
];
const pages = [
  ["jobs", () => "#/jobs", "main h1"],
  ["new", () => "#/new/cells", "main h1"],
  ["part", (id) => `#/part/${id}`, "[data-drawn=webgl]"],
  ["plan", (id) => `#/plan/${id}`, ".steps table"],
  ["springback", (id) => `#/springback/${id}`, "main h2"],
  ["film", (id) => `#/film/${id}`, "[data-drawn=webgl]"],
  ["sheet", (id) => `#/sheet/${id}`, "main img"],
  ["bench", (id) => `#/bench/${id}`, ".begin"],
  ["run", (id) => `#/run/${id}`, ".gauge table"],
  ["inspect", (id) => `#/inspect/${id}`, ".beside table"],
  ["shop", () => "#/shop/die_set", "main h1"],
  ["people", () => "#/people", "main h1"],
  ["history", (id) => `#/history/part/${id}`, "main h1"],
];

export const lookStories = [
  {
    name: "every page in light and dark at two sizes",
    async tell({ server, enter, shots }) {
      const id = await server.partId("pulpit");
      const wrong = [];
      for (const size of sizes) {
        for (const dark of [false, true]) {
          const { page } = await enter({ viewport: size, dark });
          for (const [name, address, ready] of pages) {
            await page.goto(`${server.address}/${address(id)}`);
            await page.locator(ready).first().waitFor({ timeout: 20_000 });
            await page.waitForTimeout(200);
            const file = `${name}-${size.name}-${dark ? "dark" : "light"}.png`;
            await page.screenshot({ path: path.join(shots, file) });
            if (size.name !== "desk") continue;
            for (const one of await seriousFindings(page)) wrong.push(`${file} ${one}`);
          }
          const wide = await page.evaluate(
            () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
          );
          if (wide > 1) wrong.push(`${size.name} scrolls sideways by ${wide}`);
        }
      }
      assert.deepEqual(wrong, []);
    },
  },
  {
    name: "the part in space by mouse, keys and without WebGL",
    troubled: true, // three.js complains of the WebGL that is taken away
    async tell({ server, enter }) {
      const id = await server.partId("pulpit");
      const { page } = await enter({});
      await page.goto(`${server.address}/#/part/${id}`);
      const host = page.locator("[data-drawn=webgl]");
      await host.waitFor();
      await page.waitForTimeout(700); // the table beside it has come, too
      const place = () => page.locator(".marks .end-a").getAttribute("transform");
      const first = await place();
      await host.focus();
      await page.keyboard.press("ArrowRight");
      await page.waitForTimeout(80);
      const turned = await place();
      assert.notEqual(turned, first);
      const box = await host.boundingBox();
      await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
      await page.mouse.down();
      await page.mouse.move(box.x + box.width / 2 + 90, box.y + box.height / 2 + 30, { steps: 4 });
      await page.mouse.up();
      await page.waitForTimeout(80);
      assert.notEqual(await place(), turned);
      await page.getByRole("button", { name: "At an angle" }).click();
      await page.waitForTimeout(120);
      assert.equal(await place(), first);
      assert.equal(await page.locator(".marks .bend").count(), 4);
      await page.getByText("Left hand", { exact: true }).waitFor();
      // Centre line sizes: corner to corner, from the part's own corner points.
      await page.getByRole("button", { name: "Centre" }).click();
      const { plan } = await server.api("POST", "/plan", { part_id: id });
      const corners = plan.part.corners_mm;
      const legs = corners.slice(1).map((p, i) => Math.hypot(...p.map((x, k) => x - corners[i][k])));
      const shown = await page.locator(".size-text").allTextContents();
      for (const text of shown) {
        assert.ok(legs.some((leg) => Math.abs(leg - Number(text)) < 0.051), `no leg of ${text}`);
      }
      assert.ok(shown.length >= 3);

      const plain = await enter({});
      await plain.page.addInitScript(() => {
        HTMLCanvasElement.prototype.getContext = () => null;
      });
      await plain.page.goto(`${server.address}/#/part/${id}`);
      await plain.page.locator("[data-drawn=lines]").waitFor();
      assert.ok((await plain.page.locator(".flat .body").count()) > 20);
      await plain.page.getByText("Drawn by lines").waitFor();
    },
  },
];
