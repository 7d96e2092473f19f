// The keypad card with what the run has taught since it was worked out: set angles that changed
// stand in their cells, and the totals are those of what is typed.
import type { Asks, KeypadAnswer } from "./bench_answers";

export interface KeyedRow {
  step: number;
  bend: number;
  cells: { asks: Asks; text: string; changed: boolean }[];
  item: string; // names row and values: what is changed wants reading back again
}
export interface KeyedCard {
  rows: KeyedRow[];
  totals: (string | null)[];
}

const decimalsOf = (text: string): number => /[.,](\d+)$/.exec(text)?.[1]?.length ?? 0;
const valueOf = (text: string): number => Number(text.replace("−", "-").replace(",", "."));
const written = (value: number, like: string): string => {
  const text = value.toFixed(decimalsOf(like));
  const plain = Number(text) === 0 ? text.replace("-", "") : text;
  return like.includes(",") ? plain.replace(".", ",") : plain;
};

// `sets` and `angles` by step of the run, degrees.
export function keyedCard(
  keypad: KeypadAnswer,
  sets: readonly number[],
  angles: readonly number[],
): KeyedCard {
  const column = (asks: Asks): number => keypad.columns.findIndex((one) => one.asks === asks);
  const rows = keypad.rows.map((row, index): KeyedRow => {
    const set = sets[index];
    const angle_cell = row.cells[column("angle")];
    const cells = row.cells.map((text, number) => {
      const asks = keypad.columns[number]!.asks;
      if (set === undefined || (asks !== "set" && asks !== "springback")) {
        return { asks, text, changed: false };
      }
      // Springback makes the set angle together with the angle that is typed beside it.
      const angle = angle_cell === undefined ? (angles[index] ?? 0) : valueOf(angle_cell);
      const rounded_set = valueOf(written(set, text));
      const now = written(asks === "set" ? rounded_set : rounded_set - angle, text);
      return { asks, text: now, changed: now !== text };
    });
    return {
      step: row.step,
      bend: row.bend,
      cells,
      item: `keypad-${row.step}-${cells.map((cell) => cell.text).join("/").replace(/\s+/g, "_")}`,
    };
  });
  const totals = keypad.columns.map((one, number) => {
    if (one.total === null || !rows.some((row) => row.cells[number]?.changed)) return one.total;
    const sum = rows.reduce((total, row) => total + valueOf(row.cells[number]!.text), 0);
    return written(sum, one.total);
  });
  return { rows, totals };
}
