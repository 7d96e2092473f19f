// What was typed for one piece, cell by cell, with every step back; and the document made of it.

import type { PlanAnswer } from "../../model/answers";
import { readAngle } from "../../model/angles";
import { readLength, type Unit } from "../../model/lengths";
import type { RunState } from "../../model/run";
import type { MeasuredBend, MeasuredDocument } from "./answers";

export type Way = "readings" | "points";
export interface Entries {
  way: Way;
  piece: string;
  cells: Record<string, string>; // "b1.angle", "b1.straight", "last", "p0.x", "e.angle", "a.length"
  align: string;
  guard: boolean;
}

export const kEmpty: Entries = { way: "readings", piece: "1", cells: {}, align: "ends", guard: false };

// Typed things with their past: each change can be taken back and made again.
export class History {
  private past: Entries[] = [];
  private future: Entries[] = [];
  constructor(public now: Entries) {}

  change(next: Entries): void {
    if (JSON.stringify(next) === JSON.stringify(this.now)) return;
    this.past.push(this.now);
    this.future = [];
    this.now = next;
  }
  undo(): boolean {
    const before = this.past.pop();
    if (!before) return false;
    this.future.push(this.now);
    this.now = before;
    return true;
  }
  redo(): boolean {
    const after = this.future.pop();
    if (!after) return false;
    this.past.push(this.now);
    this.now = after;
    return true;
  }
  get canUndo(): boolean {
    return this.past.length > 0;
  }
  get canRedo(): boolean {
    return this.future.length > 0;
  }
}

const isAngle = (cell: string): boolean => /\.(angle|rotation)$/.test(cell);

export interface ReadCell {
  value: number | null; // null: nothing typed
  wrong: boolean;
}

export function readCell(cell: string, text: string, unit: Unit, comma: boolean): ReadCell {
  if (text.trim() === "") return { value: null, wrong: false };
  const mark = comma ? "comma" : "point";
  const read = isAngle(cell) ? readAngle(text, mark) : readLength(text, unit, mark);
  return read.ok ? { value: read.value, wrong: false } : { value: null, wrong: true };
}

// Null when a cell cannot be read or nothing was measured.
export function documentOf(
  entries: Entries,
  plan: PlanAnswer,
  sets: readonly (number | null)[], // keyed in for each bend, from end A; null: as planned
  unit: Unit,
  comma: boolean,
): MeasuredDocument | null {
  let wrong = false;
  let any = false;
  const value = (cell: string): number | undefined => {
    const read = readCell(cell, entries.cells[cell] ?? "", unit, comma);
    wrong ||= read.wrong;
    return read.value ?? undefined;
  };
  const reading = (cell: string): number | undefined => {
    const own = value(cell);
    any ||= own !== undefined;
    return own;
  };
  const document: MeasuredDocument = { schema: 1, units: "mm", piece: entries.piece };
  const rows = plan.part.bend_table;
  const keyed = rows.map((_, index): MeasuredBend => {
    const set = sets[index];
    return set === null || set === undefined ? {} : { set };
  });
  if (entries.way === "readings") {
    document.bends = rows.map((_, index) => {
      const of = `b${index + 1}`;
      const straight = reading(`${of}.straight`);
      const rotation = index === 0 ? undefined : reading(`${of}.rotation`);
      const angle = reading(`${of}.angle`);
      return {
        ...keyed[index],
        ...(straight === undefined ? {} : { straight }),
        ...(rotation === undefined ? {} : { rotation }),
        ...(angle === undefined ? {} : { angle }),
      };
    });
    const last = reading("last");
    if (last !== undefined) document.last_straight = last;
  } else {
    document.points = plan.part.corners_mm.map((_, index) => {
      const at = (["x", "y", "z"] as const).map((axis) => reading(`p${index}.${axis}`));
      return at.every((one) => one !== undefined) ? { at: at as [number, number, number] } : {};
    });
    if (keyed.some((row) => row.set !== undefined)) document.bends = keyed;
  }
  const errors = {
    angle: value("e.angle"),
    straight: value("e.straight"),
    point: value("e.point"),
  };
  const agreed = {
    length: value("a.length"),
    angle: value("a.angle"),
    end: value("a.end"),
    corner: value("a.corner"),
  };
  const given = <T extends object>(table: T): Partial<T> =>
    Object.fromEntries(Object.entries(table).filter(([, one]) => one !== undefined)) as Partial<T>;
  if (Object.keys(given(errors)).length > 0) {
    document.errors = given(errors) as NonNullable<MeasuredDocument["errors"]>;
  }
  document.agreed = {
    align: entries.align,
    ...(given(agreed) as object),
    ...(entries.guard ? { guard_band: true } : {}),
  };
  return wrong || !any ? null : document;
}

// What each bend of the newest piece with presses was set to last, in order from end A.
export function keyedIn(
  state: RunState | null,
  steps: readonly { bend: number }[],
  num_bends: number,
): { piece: number; sets: (number | null)[]; reads: (number | null)[] } | null {
  const piece = state?.readings.at(-1)?.piece;
  if (!state || piece === undefined) return null;
  const sets: (number | null)[] = Array.from({ length: num_bends }, () => null);
  const reads: (number | null)[] = [...sets];
  for (const one of state.readings) {
    if (one.piece !== piece) continue;
    const bend = steps[one.step]?.bend;
    const last = one.hits.at(-1);
    if (bend === undefined || !last) continue;
    sets[bend - 1] = last.set_deg;
    reads[bend - 1] = last.read_deg;
  }
  return { piece, sets, reads };
}
