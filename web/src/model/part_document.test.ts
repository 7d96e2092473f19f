import { expect, test } from "vitest";
import { writeAngle } from "./angles";
import { writeCell } from "./lengths";
import {
  begunAs,
  blankPart,
  blockOf,
  cellOf,
  deleteRows,
  insertRow,
  mistypedCell,
  pasteBlock,
  pathOf,
  rowsOf,
  setAllRadii,
  setCell,
  untouched,
  writingOf,
  type PartDocument,
} from "./part_document";

const corners: PartDocument = {
  schema: 1,
  name: "rail",
  tube: { material: "x", size: "25 x 1.5" },
  line: { corners: [[0, 0, 0], [400, 0, 0], [400, 300, 0], [400, 300, 250]], radius: 75 },
};
const bends: PartDocument = {
  ...corners,
  line: {
    bends: [
      { straight: 62, rotation: 0, angle: 90 },
      { straight: 41, rotation: 90, included: "135°" },
    ],
    last: 71,
    radius: 36.5,
  },
};

test("cells of corners and their places", () => {
  expect(rowsOf(corners)).toBe(4);
  expect(cellOf(corners, 2, "y")).toBe(300);
  expect(cellOf(corners, 0, "radius")).toBeNull();
  expect(cellOf(corners, 1, "radius")).toBe(75);
  expect(pathOf(corners, 2, "y")).toBe("line.corners[2][1]");
  expect(pathOf(corners, 1, "radius")).toBe("line.radius");
});

test("one radius becomes several when one changes, and one again when all agree", () => {
  const mixed = setCell(corners, 2, "radius", 50);
  expect(mixed.line.radii).toEqual([75, 50]);
  expect(mixed.line.radius).toBeUndefined();
  expect(pathOf(mixed, 2, "radius")).toBe("line.radii[1]");
  expect(setCell(mixed, 1, "radius", 50).line).toEqual({ ...corners.line, radius: 50 });
  expect(setAllRadii(mixed, 60).line.radii).toBeUndefined();
  expect(corners.line.radius).toBe(75);
});

test("cells of bends, the last straight among them", () => {
  expect(rowsOf(bends)).toBe(3);
  expect(cellOf(bends, 2, "straight")).toBe(71);
  expect(cellOf(bends, 2, "angle")).toBeNull();
  expect(pathOf(bends, 1, "angle")).toBe("line.bends[1].included");
  expect(setCell(bends, 1, "angle", 120).line.bends?.[1]).toEqual({
    straight: 41,
    rotation: 90,
    included: 120,
  });
  expect(setCell(bends, 2, "straight", "3 in").line.last).toBe("3 in");
  expect(setCell(bends, 0, "radius", 40).line.bends?.[0]?.radius).toBe(40);
});

test("rows come and go with their radii", () => {
  const mixed = setCell(corners, 2, "radius", 50);
  expect(insertRow(mixed, 2).line.radii).toEqual([75, 50, 50]);
  expect(deleteRows(mixed, 1, 1).line.radius).toBe(50);
  expect(deleteRows(corners, 0, 2)).toBe(corners);
  expect(deleteRows(bends, 0, 0).line.bends?.length).toBe(1);
});

test("a pasted block fills cells and grows the table", () => {
  const write = (text: string, kind: "length" | "angle") =>
    kind === "angle" ? writeAngle(text) : writeCell(text, writingOf(corners), "mm");
  const block = blockOf("1\t2\t3\r\n4\t1-1/2 in\t6\r\n");
  expect(block).toEqual([["1", "2", "3"], ["4", "1-1/2 in", "6"]]);
  const pasted = pasteBlock(corners, 3, "x", block, write);
  expect(pasted.line.corners?.slice(3)).toEqual([[1, 2, 3], [4, "1-1/2 in", 6]]);
  const grown = pasteBlock(bends, 2, "straight", blockOf("10\t0\t30\n20\t90\t45\n5"), write);
  expect(grown.line.bends?.[3]).toEqual({ straight: 20, rotation: 90, angle: 45 });
  expect(grown.line.last).toBe(5);
});

test("what is mistyped says so where it stands", () => {
  const wrong = setCell(corners, 1, "x", "4oo");
  expect(mistypedCell(wrong, 1, { key: "x", kind: "length" })).toEqual({
    code: "letter",
    typed: "4oo",
    letter: "o",
    meant: "400",
  });
  const flat = setCell(bends, 0, "radius", 0);
  expect(mistypedCell(flat, 0, { key: "radius", kind: "length" })?.code).toBe("length.positive");
  expect(mistypedCell(corners, 0, { key: "radius", kind: "length" })).toBeNull();
});

test("a blank part begins in corners or in bends", () => {
  const blank = blankPart("rail", "mm");
  expect(untouched(blank)).toBe(true);
  expect(untouched(setCell(blank, 0, "x", 0))).toBe(false);
  expect(untouched(bends)).toBe(false);
  const begun = begunAs(setAllRadii(blank, 75), "bends");
  expect(begun.line).toEqual({ bends: [{ straight: "", rotation: 0, angle: "" }], last: "", radius: 75 });
  expect(untouched(begun)).toBe(true);
  expect(untouched(setCell(begun, 0, "rotation", 90))).toBe(false);
  const typed = setCell(begun, 0, "straight", 120);
  expect(untouched(typed)).toBe(false);
  expect(typed.line.bends?.[0]?.straight).toBe(120);
  const own = setCell(begunAs(blank, "bends"), 0, "radius", 75);
  expect(own.line).toEqual({ bends: [{ straight: "", rotation: 0, angle: "", radius: 75 }], last: "" });
  expect(begunAs(begun, "corners").line).toEqual({ ...blank.line, radius: 75 });
});
