// The rows of trial bends as they are typed: what counts already, and what stays to be mended.
import { readAngle, writeAngle } from "./angles";
import type { Mistyped } from "./typed";

export interface TrialRow {
  set: string;
  finished: string;
}

export const emptyRow = (): TrialRow => ({ set: "", finished: "" });
export const isEmpty = (row: TrialRow): boolean => row.set.trim() === "" && row.finished.trim() === "";

// What is wrong with a cell; nothing where none is typed. The decimal comma is one, as in every table.
export function cellTrouble(text: string): Mistyped | null {
  if (text.trim() === "") return null;
  const read = readAngle(String(writeAngle(text)));
  return read.ok ? null : { ...read.why, typed: text.trim() };
}
export const isWrong = (row: TrialRow): boolean => cellTrouble(row.set) !== null || cellTrouble(row.finished) !== null;
export const isWhole = (row: TrialRow): boolean => row.set.trim() !== "" && row.finished.trim() !== "" && !isWrong(row);

// What remains in the table once the whole rows are kept: what was begun stays, and there is always
// room for `room` rows.
export function leftOver(rows: readonly TrialRow[], kept: readonly TrialRow[], room = 2): TrialRow[] {
  const left = rows.filter((row) => !kept.includes(row) && !isEmpty(row));
  return [...left, ...Array.from({ length: Math.max(0, room - left.length) }, emptyRow)];
}
