import { describe, expect, it } from "vitest";
import { cellTrouble, isWhole, isWrong, leftOver } from "./trial_rows";

describe("trial rows", () => {
  it("reads a decimal comma as the table of bends does", () => {
    expect(isWhole({ set: "30", finished: "27,9" })).toBe(true);
    expect(isWhole({ set: "45.5", finished: "42°30'" })).toBe(true);
    expect(cellTrouble("27,9")).toBeNull();
  });
  it("says what is wrong with the text as typed", () => {
    expect(cellTrouble("27,9,1")).toEqual({ code: "angle.text", typed: "27,9,1" });
    expect(cellTrouble("9O")?.code).toBe("letter");
    expect(isWrong({ set: "30", finished: "abc" })).toBe(true);
    expect(isWrong({ set: "30", finished: "" })).toBe(false);
  });
  it("lets nothing that was typed vanish with the rows that are kept", () => {
    const whole = { set: "30", finished: "27.9" };
    const half = { set: "60", finished: "" };
    const wrong = { set: "90", finished: "8x" };
    expect(leftOver([whole, { set: " ", finished: "" }, half, wrong], [whole])).toEqual([half, wrong]);
    expect(leftOver([whole], [whole])).toEqual([
      { set: "", finished: "" },
      { set: "", finished: "" },
    ]);
  });
});
