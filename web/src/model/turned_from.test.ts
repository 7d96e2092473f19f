import { expect, test } from "vitest";
import { turnedFrom } from "./turned_from";

const step = (bend: number, rotation_from: number | null, wheel_reset = false) => ({ bend, rotation_from, wheel_reset });

test("turns from the bend before say nothing more", () => {
  expect(turnedFrom([step(1, null), step(2, 1), step(3, 2)])).toEqual([null, null, null]);
});

test("another bend laid flat is named, with the wheel where it begins anew", () => {
  expect(turnedFrom([step(3, null), step(2, 3), step(1, 2), step(4, 3, true)])).toEqual([null, null, null, { bend: 3, reset: true }]);
  expect(turnedFrom([step(1, null), step(3, 1), step(2, 1)])[2]).toEqual({ bend: 1, reset: false });
  expect(turnedFrom([step(1, null), step(2, 1, true)])[1]).toEqual({ bend: 1, reset: true });
});
