import { describe, expect, it } from "vitest";
import { lengthTrouble } from "./mistyped";

describe("lengthTrouble", () => {
  const writing = { unit: "mm", mark: "point" } as const;
  it("says nothing of no length and of a good one", () => {
    expect(lengthTrouble(undefined, writing)).toBe("");
    expect(lengthTrouble("", writing)).toBe("");
    expect(lengthTrouble("1 1/2 in", writing)).toBe("");
    expect(lengthTrouble(38.1, writing)).toBe("");
  });
  it("names the letter that stands for a digit", () => {
    expect(lengthTrouble("4O0", writing)).toContain("400");
  });
});
