import { expect, test } from "vitest";
import { differences, merge, pathText, same, withValue } from "./merge";

const base = { name: "rail", quantity: 2, line: { corners: [[0, 0, 0], [1, 0, 0], [1, 1, 0]], radius: 50 } };

test("changes to different places come together", () => {
  const mine = { ...base, quantity: 3 };
  const theirs = withValue(base, ["line", "corners", 2, 1], 9) as typeof base;
  const merged = merge(base, mine, theirs);
  expect(merged.contests).toEqual([]);
  expect(merged.document).toEqual({ ...theirs, quantity: 3 });
  expect(merged.onlyTheirs.map((c) => pathText(c.path))).toEqual(["line.corners[2][1]"]);
});

test("the same place changed by both is a contest that keeps both values", () => {
  const mine = withValue(base, ["line", "radius"], 60);
  const theirs = withValue(base, ["line", "radius"], 70);
  const merged = merge(base, mine, theirs);
  expect(merged.contests).toEqual([{ path: ["line", "radius"], base: 50, mine: 60, theirs: 70 }]);
  expect((merged.document as typeof base).line.radius).toBe(60);
});

test("lists that grew differ as a whole", () => {
  const mine = withValue(base, ["line", "corners"], [[0, 0, 0], [1, 0, 0]]);
  const theirs = withValue(base, ["line", "corners", 0, 0], 5);
  expect(merge(base, mine, theirs).contests.map((c) => pathText(c.path))).toEqual(["line.corners"]);
});

test("keys taken away stay away", () => {
  const mine = withValue(base, ["quantity"], undefined);
  expect(merge(base, mine, { ...base, name: "arm" }).document).toEqual({ name: "arm", line: base.line });
});

test("differences and sameness", () => {
  expect(same({ a: [1, { b: null }] }, { a: [1, { b: null }] })).toBe(true);
  expect(same({ a: 1 }, {})).toBe(false);
  expect(differences(base, { ...base, quantity: 5 })).toEqual([
    { path: ["quantity"], base: 2, mine: 2, theirs: 5 },
  ]);
});
