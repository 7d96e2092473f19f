import { expect, test } from "vitest";
import { listPlace } from "./list_place";

const window = { width: 1366, height: 768 };
const field = (top: number, left = 100, width = 300) => ({ top, bottom: top + 44, left, width });

test("below where there is room, above where there is none, and never over the edge", () => {
  expect(listPlace(field(100), 320, window)).toEqual({ above: false, left: 100, width: 340, edge: 146, most: 320 });
  const low = listPlace(field(700), 320, window);
  expect([low.above, low.edge, low.most]).toEqual([true, 698, 320]);
  // Enough to use it stays below, cut to what there is.
  const middle = listPlace(field(480), 320, window);
  expect([middle.above, middle.most]).toEqual([false, 768 - 524 - 10]);
  // A short list needs little.
  expect(listPlace(field(640), 60, window).above).toBe(false);
  // Neither side has much: the larger one.
  const flat = { width: 700, height: 200 };
  expect(listPlace(field(60), 320, flat)).toMatchObject({ above: false, most: 86 });
  expect(listPlace(field(120), 320, flat)).toMatchObject({ above: true, most: 110 });
});

test("wide enough to read and inside the window", () => {
  const phone = { width: 390, height: 844 };
  expect(listPlace(field(100, 200, 160), 100, phone)).toMatchObject({ left: 42, width: 340 });
  expect(listPlace(field(100, 0, 900), 100, phone)).toMatchObject({ left: 8, width: 374 });
});
