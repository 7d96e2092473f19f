import { expect, test } from "vitest";
import type { PlacedBend } from "./answers";
import { movedBend, orderText, otherEnd, placeAt } from "./order";

const drawn: PlacedBend[] = [1, 2, 3, 4].map((bend) => ({ bend, front: "A" }));

test("a bend is moved and the rest close up", () => {
  expect(orderText(movedBend(drawn, 0, 2))).toBe("2A,3A,1A,4A");
  expect(orderText(movedBend(drawn, 3, 0))).toBe("4A,1A,2A,3A");
  expect(orderText(movedBend(drawn, 1, 1))).toBe("1A,2A,3A,4A");
});

test("a place that is none changes nothing, nor does the list that was given", () => {
  expect(orderText(movedBend(drawn, 0, 4))).toBe("1A,2A,3A,4A");
  expect(orderText(movedBend(drawn, -1, 2))).toBe("1A,2A,3A,4A");
  movedBend(drawn, 0, 3);
  expect(orderText(drawn)).toBe("1A,2A,3A,4A");
});

test("one bend is made with the other end ahead", () => {
  expect(orderText(otherEnd(drawn, 2))).toBe("1A,2A,3B,4A");
  expect(orderText(otherEnd(otherEnd(drawn, 2), 2))).toBe("1A,2A,3A,4A");
});

test("a dragged row goes where its middle has been passed", () => {
  const middles = [25, 75, 125, 175];
  expect(placeAt(middles, 0, 70)).toBe(0);
  expect(placeAt(middles, 0, 80)).toBe(1);
  expect(placeAt(middles, 0, 900)).toBe(3);
  expect(placeAt(middles, 3, 60)).toBe(1);
  expect(placeAt(middles, 3, -50)).toBe(0);
});
