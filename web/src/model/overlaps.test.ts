import { expect, test } from "vitest";
import { overlaps } from "./overlaps";

const line = (...straights_mm: number[]) => ({
  bend_table: straights_mm.slice(0, -1).map((straight_mm) => ({ straight_mm, rotation_deg: 0, angle_deg: 90, radius_mm: 75 })),
  last_straight_mm: straights_mm.at(-1)!,
});

test("a straight that its bends eat is short", () => {
  expect(overlaps(line(25, -50, 25))).toEqual([{ straight: 2, short_mm: 50 }]);
  expect(overlaps(line(-5, 10, -0.5))).toEqual([
    { straight: 1, short_mm: 5 },
    { straight: 3, short_mm: 0.5 },
  ]);
  expect(overlaps(line(25, 0, 25))).toEqual([]);
  expect(overlaps(line(25, -1e-9, 25))).toEqual([]);
  expect(overlaps(line(400))).toEqual([]);
});
