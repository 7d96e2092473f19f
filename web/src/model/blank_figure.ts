// Where things lie on a drawing of the blank, all in mm along it from its end A.
import type { Blank, Step } from "./answers";

export interface Spread {
  from: number;
  to: number;
}
export interface BendOnBlank extends Spread {
  bend: number;
  mark: number;
  towardsB: boolean;
  row: number; // 0, 1, … so that neighbouring labels do not cover each other
}
export interface BlankFigure {
  length: number;
  grips: Spread[];
  trims: Spread[];
  bends: BendOnBlank[];
  rows: number;
}

// The front is clamped first: its grip and trim lie at that end of the blank.
export function blankFigure(blank: Blank, steps: Step[], labelMm: number): BlankFigure {
  const length = blank.cut_length_mm;
  const frontAtA = blank.front_end === "A";
  const atA = { grip: frontAtA ? blank.grip_front_mm : blank.grip_back_mm, trim: frontAtA ? blank.trim_front_mm : blank.trim_back_mm };
  const atB = { grip: frontAtA ? blank.grip_back_mm : blank.grip_front_mm, trim: frontAtA ? blank.trim_back_mm : blank.trim_front_mm };
  const bends = steps
    .map((step) => {
      const towardsB = step.bend_lies === "towards B";
      const other = towardsB ? step.mark_mm + step.arc_mm : step.mark_mm - step.arc_mm;
      return {
        bend: step.bend,
        mark: step.mark_mm,
        towardsB,
        from: Math.min(step.mark_mm, other),
        to: Math.max(step.mark_mm, other),
        row: 0,
      };
    })
    .sort((a, b) => a.mark - b.mark);
  const ends: number[] = [];
  for (const bend of bends) {
    let row = ends.findIndex((end) => bend.mark - end >= labelMm);
    if (row < 0) row = ends.length;
    ends[row] = bend.mark;
    bend.row = row;
  }
  const spread = (from: number, size: number): Spread[] => (size > 0 ? [{ from, to: from + size }] : []);
  return {
    length,
    trims: [...spread(0, atA.trim), ...spread(length - atB.trim, atB.trim)],
    grips: [...spread(atA.trim, atA.grip), ...spread(length - atB.trim - atB.grip, atB.grip)],
    bends,
    rows: Math.max(1, ends.length),
  };
}
