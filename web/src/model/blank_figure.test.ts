import { expect, test } from "vitest";
import type { Blank, Step } from "./answers";
import { blankFigure } from "./blank_figure";

const blank = {
  cut_length_mm: 1000, cut_length_low_mm: 998, cut_length_high_mm: 1001, grip_front_mm: 40,
  grip_back_mm: 60, trim_front_mm: 5, trim_back_mm: 0, front_end: "B", proven: false, basis: "",
} as Blank;
const step = (bend: number, mark_mm: number, bend_lies: string): Step =>
  ({ bend, mark_mm, bend_lies, arc_mm: 100 }) as Step;

test("front end B is drawn at the far end, arcs on the side the X stands", () => {
  const figure = blankFigure(blank, [step(2, 600, "towards A"), step(1, 300, "towards B")], 50);
  expect(figure.trims).toEqual([{ from: 995, to: 1000 }]);
  expect(figure.grips).toEqual([{ from: 0, to: 60 }, { from: 955, to: 995 }]);
  expect(figure.bends.map((b) => [b.bend, b.from, b.to])).toEqual([[1, 300, 400], [2, 500, 600]]);
});

test("labels that would meet move to another row", () => {
  const marks = [step(1, 100, "towards B"), step(2, 120, "towards B"), step(3, 200, "towards B")];
  expect(blankFigure(blank, marks, 80).bends.map((b) => b.row)).toEqual([0, 1, 0]);
});
