import { expect, test } from "vitest";
import type { Blank, Step } from "./answers";
import { blankFigure, labelRows } from "./blank_figure";

const blank = {
  cut_length_mm: 1000, cut_length_low_mm: 998, cut_length_high_mm: 1001, grip_front_mm: 40,
  grip_back_mm: 60, trim_front_mm: 5, trim_back_mm: 0, front_end: "B", proven: false, basis: "",
} as Blank;
const step = (bend: number, mark_mm: number, bend_lies: string): Step =>
  ({ bend, mark_mm, bend_lies, arc_mm: 100 }) as Step;

test("front end B is drawn at the far end, arcs on the side the X stands", () => {
  const figure = blankFigure(blank, [step(2, 600, "towards A"), step(1, 300, "towards B")]);
  expect(figure.trims).toEqual([{ from: 995, to: 1000 }]);
  expect(figure.grips).toEqual([{ from: 0, to: 60 }, { from: 955, to: 995 }]);
  expect(figure.bends.map((b) => [b.bend, b.from, b.to])).toEqual([[1, 300, 400], [2, 500, 600]]);
});

test("labels that would meet move to another row, and none leaves the picture", () => {
  const marks = [100, 120, 200].map((at, i) => ({ bend: i + 1, at, width: 60 }));
  expect(labelRows(marks, 0, 1000, 3).map((l) => l.row)).toEqual([0, 1, 0]);
  const edge = labelRows([{ bend: 1, at: 2, width: 60 }, { bend: 2, at: 995, width: 60 }], 0, 1000, 3);
  expect(edge.map((l) => l.middle)).toEqual([30, 970]);
});

test("forty bends on three rows: what is shown never overlaps", () => {
  const marks = Array.from({ length: 40 }, (_, i) => ({ bend: i + 1, at: 20 + i * 21, width: 70 }));
  const shown = labelRows(marks, 0, 900, 3);
  expect(shown.length).toBeLessThan(40);
  for (const a of shown) {
    for (const b of shown) {
      if (a.bend < b.bend && a.row === b.row) expect(b.middle - a.middle).toBeGreaterThanOrEqual(70);
    }
  }
});

test("forty bends on a phone: given the rows, every number is there and none overlaps another", () => {
  for (const apart of [3, 7.5]) {
    const marks = Array.from({ length: 40 }, (_, i) => ({ bend: i + 1, at: 44 + i * apart, width: String(i + 1).length * 9.6 }));
    const shown = labelRows(marks, 2, 388, marks.length);
    expect(shown.map((label) => label.bend)).toEqual(marks.map((mark) => mark.bend));
    for (const a of shown) {
      for (const b of shown) {
        if (a.bend < b.bend && a.row === b.row) expect(b.middle - a.middle).toBeGreaterThanOrEqual(9.6 + 6);
      }
    }
    expect(Math.max(...shown.map((label) => label.row))).toBeLessThan(9);
  }
});
