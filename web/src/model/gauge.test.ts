import { describe, expect, it } from "vitest";
import { cellName, fitOf, leastTolerance, pasted, personName, readTable, type GaugeTable } from "./gauge";

const table: GaugeTable = {
  people: ["KB", ""],
  pieces: 2,
  times: 2,
  cells: { "0/0/0": "90.1", "1/0/0": "90,2", "0/0/1": "x", "1/1/1": "89.5" },
};

describe("the table of a gauge trial", () => {
  it("reads what is there, counts what is missing and names what is no angle", () => {
    const read = readTable(table, "point");
    expect(read.readings).toEqual([
      { person: "KB", piece: "1", angle: 90.1 },
      { person: "B", piece: "2", angle: 89.5 },
    ]);
    expect(read.missing).toBe(4);
    expect([...read.wrong].sort()).toEqual(["0/0/1", "1/0/0"]);
    expect(readTable(table, "comma").wrong.has("1/0/0")).toBe(false);
  });
  it("wants people told apart", () => {
    expect(personName(table, 1)).toBe("B");
    expect(readTable(table, "point").same_names).toBe(false);
    expect(readTable({ ...table, people: ["B", ""] }, "point").same_names).toBe(true);
  });
  it("takes a pasted block down and to the right, and no further than the table", () => {
    const cells = pasted({ ...table, cells: {} }, 0, 1, "1\t2\t3\n4\t5\n6\t7\n8\t9\n");
    expect(cells).toEqual({
      [cellName(0, 0, 1)]: "1",
      [cellName(1, 0, 1)]: "2",
      [cellName(0, 1, 0)]: "4",
      [cellName(1, 1, 0)]: "5",
      [cellName(0, 1, 1)]: "6",
      [cellName(1, 1, 1)]: "7",
    });
  });
});

it("says what the gauge is good for", () => {
  expect([0.08, 0.2, 0.31].map(fitOf)).toEqual(["good", "usable", "poor"]);
  // 6 · 0.05 = 0.3 in three tenths of the width of ±0.5.
  expect(leastTolerance(0.05)).toBeCloseTo(0.5, 9);
});
