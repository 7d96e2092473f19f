// How often the picture of a part is drawn while it is being turned, against an empty page of the
// same browser in the same run. Prints the ratio; asserts nothing.
import { openBrowser, person } from "./browser.mjs";
import { Server } from "./server.mjs";

const kBends = 40;
const kSeconds = 4;

const server = new Server();
const browser = await openBrowser();
try {
  await server.start();
  const bends = Array.from({ length: kBends }, (_, index) => ({
    straight: 60 + (index % 5) * 20,
    rotation: index === 0 ? 0 : ((index * 67) % 300) - 150,
    angle: 20 + ((index * 31) % 70),
    radius: 77,
  }));
  const document = {
    schema: 1,
    name: "Forty bends",
    tube: { size: "25 x 1.5", material: "316L annealed" },
    line: { bends, last: 120 },
  };
  const { id } = await server.api("POST", "/records/part", { document });
  const { page } = await person(browser, server.address);
  const count = (turning) =>
    page.evaluate(
      async ({ seconds, turning }) => {
        const host = document.querySelector("[data-drawn]");
        let frames = 0;
        const until = performance.now() + seconds * 1000;
        while (performance.now() < until) {
          await new Promise((next) => requestAnimationFrame(next));
          ++frames;
          if (turning) host.dispatchEvent(new KeyboardEvent("keydown", { key: "ArrowRight" }));
        }
        return frames / seconds;
      },
      { seconds: kSeconds, turning },
    );
  await page.goto("about:blank");
  const bare = await count(false);
  await page.goto(`${server.address}/#/part/${id}`);
  await page.locator("[data-drawn=webgl]").waitFor();
  await page.waitForTimeout(800);
  const turning = await count(true);
  console.log(`empty page ${bare.toFixed(1)} frames/s, ${kBends} bends turning ${turning.toFixed(1)} frames/s`);
  console.log(`ratio ${(turning / bare).toFixed(2)}`);
} finally {
  await browser.close();
  await server.end();
}
