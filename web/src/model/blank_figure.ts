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
}
// A label above the blank: its middle lies over the mark, or beside it near the ends.
export interface Label {
  bend: number;
  middle: number;
  row: number;
}

// Labels of given widths on as few rows as keeps them apart by `gap`; those that fit on none of
// `most` rows are left out. All in the picture's own unit, within left..right.
export function labelRows(
  marks: readonly { bend: number; at: number; width: number }[],
  left: number,
  right: number,
  most: number,
  gap = 6,
): Label[] {
  const ends: number[] = [];
  const labels: Label[] = [];
  for (const { bend, at, width } of [...marks].sort((a, b) => a.at - b.at)) {
    const middle = Math.max(left + width / 2, Math.min(right - width / 2, at));
    let row = ends.findIndex((end) => middle - width / 2 - end >= gap);
    if (row < 0) row = ends.length;
    if (row >= most) continue;
    ends[row] = middle + width / 2;
    labels.push({ bend, middle, row });
  }
  return labels;
}

export interface BlankFigure {
  length: number;
  grips: Spread[];
  trims: Spread[];
  bends: BendOnBlank[];
}

// The front is clamped first: its grip and trim lie at that end of the blank.
export function blankFigure(blank: Blank, steps: Step[]): BlankFigure {
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
      };
    })
    .sort((a, b) => a.mark - b.mark);
  const spread = (from: number, size: number): Spread[] => (size > 0 ? [{ from, to: from + size }] : []);
  return {
    length,
    trims: [...spread(0, atA.trim), ...spread(length - atB.trim, atB.trim)],
    grips: [...spread(atA.trim, atA.grip), ...spread(length - atB.trim - atB.grip, atB.grip)],
    bends,
  };
}
