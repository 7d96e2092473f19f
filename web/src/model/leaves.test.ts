import { expect, test } from "vitest";
import { leaves, lineOf } from "./leaves";

test("every value of a document has its line, a corner is one", () => {
  const part = { name: "Rail", line: { corners: [[0, 0, 0], [0, 0, 420]], radius: 77 }, hand: null };
  expect(leaves(part)).toEqual([
    { path: ["name"], text: "Rail" },
    { path: ["line", "corners", 0], text: "0; 0; 0" },
    { path: ["line", "corners", 1], text: "0; 0; 420" },
    { path: ["line", "radius"], text: "77" },
    { path: ["hand"], text: "–" },
  ]);
});

test("a value on one line", () => {
  expect(lineOf(undefined)).toBe("–");
  expect(lineOf({})).toBe("–");
  expect(lineOf({ set_angle: 60, by: "JH" })).toBe("set angle 60, by JH");
  expect(lineOf([])).toBe("");
});
