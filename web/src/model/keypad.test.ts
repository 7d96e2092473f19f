import { describe, expect, it } from "vitest";
import type { KeypadAnswer } from "./bench_answers";
import { keyedCard } from "./keypad";

const keypad: KeypadAnswer = {
  schema: 1,
  bender: "Wagtail",
  columns: [
    { asks: "mark", head: "mark mm", total: null },
    { asks: "angle", head: "angle °", total: "100.2" },
    { asks: "springback", head: "springback °", total: "5.4" },
    { asks: "set", head: "set °", total: "105.6" },
  ],
  rows: [
    { step: 1, bend: 1, cells: ["368.1", "67.6", "3.3", "70.9"] },
    { step: 2, bend: 2, cells: ["752.9", "32.6", "2.1", "34.7"] },
  ],
  findings: [],
  checklist: { items: [], cautions: [] },
};

describe("the keypad card during a run", () => {
  it("is the service's own while nothing was corrected", () => {
    const card = keyedCard(keypad, [70.9, 34.7], [67.6, 32.6]);
    expect(card.rows.map((row) => row.cells.map((cell) => cell.text))).toEqual(
      keypad.rows.map((row) => row.cells),
    );
    expect(card.totals).toEqual([null, "100.2", "5.4", "105.6"]);
  });
  it("takes a corrected set angle into springback, sum and totals", () => {
    const card = keyedCard(keypad, [71.64, 34.7], [67.6, 32.6]);
    expect(card.rows[0]!.cells.map((cell) => cell.text)).toEqual(["368.1", "67.6", "4.0", "71.6"]);
    expect(card.rows[0]!.cells.map((cell) => cell.changed)).toEqual([false, false, true, true]);
    expect(card.totals).toEqual([null, "100.2", "6.1", "106.3"]);
  });
  it("wants a changed row read back again, and no other", () => {
    const before = keyedCard(keypad, [70.9, 34.7], [67.6, 32.6]);
    const after = keyedCard(keypad, [71.6, 34.7], [67.6, 32.6]);
    expect(after.rows[0]!.item).not.toBe(before.rows[0]!.item);
    expect(after.rows[1]!.item).toBe(before.rows[1]!.item);
    expect(after.rows[1]!.item).toMatch(/^[\x21-\x7e]{1,128}$/);
  });
});
