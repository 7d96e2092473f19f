// Where the focus went with the page that was left, it goes to the heading of the one that came.
import { tick } from "svelte";

const kTries = 40;
const kAgainMs = 50; // a page may wait for its record before it has a heading

export async function toHeading(main: HTMLElement, here: () => boolean): Promise<void> {
  await tick();
  for (let tries = 0; tries < kTries && here(); ++tries) {
    const at = document.activeElement;
    if (at && at !== document.body) return; // the page itself, or the person, put it somewhere
    const heading = main.querySelector("h1");
    if (heading) {
      heading.tabIndex = -1;
      heading.focus({ preventScroll: true });
      return;
    }
    await new Promise((again) => setTimeout(again, kAgainMs));
  }
}
