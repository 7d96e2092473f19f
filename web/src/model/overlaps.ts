// Straights that the bends at their ends leave no room for, known from the table alone: while tube
// and metal are still to be typed nobody else says so.
import type { Line } from "./answers";

const kLeast_mm = 1e-6;

export interface Short {
  straight: number; // from end A, from 1
  short_mm: number;
}

export function overlaps(line: Pick<Line, "bend_table" | "last_straight_mm">): Short[] {
  return [...line.bend_table.map((row) => row.straight_mm), line.last_straight_mm].flatMap((mm, index) =>
    mm < -kLeast_mm ? [{ straight: index + 1, short_mm: -mm }] : [],
  );
}
