import { expect, test } from "vitest";
import { readStress, stressText, writeStress, writtenMpa } from "./stress";

const mpa = (text: string, bare: "MPa" | "GPa" = "MPa", mark: "point" | "comma" = "point"): number | string => {
  const read = readStress(text, bare, mark);
  return read.ok ? read.mpa : read.code;
};

// NIST SP 811 (2008), appendix B.8: 1 ksi is 6.894757 MPa.
test("strengths are read in both systems", () => {
  expect(mpa("36 ksi")).toBeCloseTo(36 * 6.894757, 4);
  expect(mpa("36000 psi")).toBeCloseTo(36 * 6.894757, 4);
  expect(mpa("250")).toBe(250);
  expect(mpa("250 N/mm²")).toBe(250);
  expect(mpa("205", "GPa")).toBe(205000);
  expect(mpa("29000ksi", "GPa")).toBeCloseTo(29000 * 6.894757, 1);
  expect(mpa("250,5 MPa", "MPa", "comma")).toBe(250.5);
});

test("what is no strength says why", () => {
  expect(mpa("4O0")).toBe("stress.unit");
  expect(mpa("36 kips")).toBe("stress.unit");
  expect(mpa("strong")).toBe("stress.text");
  expect(mpa("-5")).toBe("stress.text");
  expect(mpa("250,5")).toBe("stress.comma");
});

test("a field shows what was typed, or the same in the station's unit", () => {
  expect(stressText(250, "MPa", "mm", "point")).toBe("250");
  expect(stressText(250, "MPa", "in", "point")).toBe("36.26");
  expect(stressText("36 ksi", "MPa", "in", "point")).toBe("36 ksi");
  expect(stressText("36 ksi", "MPa", "mm", "point")).toBe("248.21");
  expect(stressText(205, "GPa", "in", "point")).toBe("29730");
  expect(stressText("x", "MPa", "mm", "point")).toBe("x");
});

test("what is stored means what was typed", () => {
  for (const [typed, unit] of [["36", "in"], ["36 ksi", "mm"], ["248.5", "mm"], ["248.5 MPa", "in"]] as const) {
    const stored = writtenMpa(writeStress(typed, unit), "MPa", "point");
    expect(stored.ok && stored.mpa).toBeCloseTo(/ksi/.test(typed) || (unit === "in" && !/MPa/.test(typed)) ? 36 * 6.894757 : 248.5, 4);
  }
  expect(writeStress(" ", "mm")).toBe(undefined);
});
