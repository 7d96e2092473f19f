import { describe, expect, it } from "vitest";
import { inUnit } from "./quantities";

// NIST SP 811 (2008), appendix B.8: pound-force foot 1.355 818 N·m, pound 0.453 592 37 kg, pound per
// foot 1.488 164 kg/m, foot 0.3048 m (from memory).
describe("quantities of a shop in inches", () => {
  it("are told in pounds and feet", () => {
    expect(inUnit(1.355818, "N m", "in").value).toBeCloseTo(1, 6);
    expect(inUnit(0.45359237, "kg", "in")).toEqual({ value: 1, unit: "lb" });
    expect(inUnit(1.488164, "kg/m", "in").value).toBeCloseTo(1, 6);
    expect(inUnit(0.3048, "m", "in")).toEqual({ value: 1, unit: "ft" });
  });
  it("keep what they have in millimetres, and what has no other name", () => {
    expect(inUnit(12, "N m", "mm")).toEqual({ value: 12, unit: "N m" });
    expect(inUnit(4, "rpm", "in")).toEqual({ value: 4, unit: "rpm" });
  });
});
