import { expect, test } from "vitest";
import type { Step, ToolingLine } from "./answers";
import { comparedBends, whyNothing } from "./what_if";

const plan = (bends: number, ...made: number[]) => ({
  steps: made.map((bend) => ({ bend }) as Step),
  part: { bend_table: Array.from({ length: bends }) },
});
const die = [{ die: "25R75", fits: false } as ToolingLine];

test("why there is nothing to compare: no die now, none still, none then, none at all", () => {
  expect(whyNothing(plan(2, 1, 2), undefined, die)).toBeNull();
  expect(whyNothing(plan(2, 1, 2), plan(2, 1, 2), die)).toBeNull();
  expect(whyNothing(plan(2), undefined, die)).toBe("whatif.none_now");
  expect(whyNothing(plan(2), plan(2), die)).toBe("whatif.none_still");
  expect(whyNothing(plan(2, 1, 2), plan(2), die)).toBe("whatif.none_then");
  expect(whyNothing(plan(2), plan(2, 1, 2), die)).toBeNull();
  expect(whyNothing(plan(2), undefined, [])).toBe("whatif.no_dies");
});

test("a straight tube wants no die", () => {
  expect(whyNothing(plan(0), undefined, [])).toBeNull();
});

test("the bends of either side are compared, the first few", () => {
  expect(comparedBends(plan(2, 2, 1), undefined)).toEqual([2, 1]);
  expect(comparedBends(plan(2), plan(2, 1, 2))).toEqual([1, 2]);
  expect(comparedBends(plan(9, 1, 2, 3, 4, 5, 6, 7, 8, 9), undefined)).toHaveLength(8);
});
