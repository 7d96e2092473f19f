import { describe, expect, it } from "vitest";
import type { Watch } from "./bench_answers";
import { columnsOf, driftOf, newSet, reachOf } from "./watch";

// Readings on a line of 0.1° a piece from -0.2° at piece 5: 0.5° is reached at piece 12 and passed
// at piece 13.
const watch = (change: Partial<Watch> = {}): Watch => ({
  step: 1,
  from_piece: 5,
  heat: "",
  readings: [5, 6, 7, 8, 9].map((piece) => ({ piece, off: -0.2 + 0.1 * (piece - 5) })),
  chart: { sigma: 0.1, upper: 0.3, lower: -0.3, smoothed: [-0.04, -0.05, -0.04, -0.01, 0.03] },
  signals: [],
  trend: { per_piece: 0.1, interval: [0.08, 0.12], level: 0.2 },
  capability: null,
  advice: { call: "go-on", reasons: [], measure_piece: 10 },
  ...change,
});

describe("the drift of a run", () => {
  it("says which piece passes the limit", () => {
    expect(driftOf(watch(), 0.5)).toEqual({ per_piece_deg: 0.1, sure: true, limit_piece: 13 });
  });
  it("goes the other way by the same rule", () => {
    const down = watch({ trend: { per_piece: -0.1, interval: [-0.12, -0.08], level: -0.25 } });
    expect(driftOf(down, 0.5)?.limit_piece).toBe(12);
  });
  it("is not sure while its band holds zero, and never looks behind the last piece", () => {
    const wide = watch({ trend: { per_piece: 0.1, interval: [-0.05, 0.25], level: 0.9 } });
    expect(driftOf(wide, 0.5)).toMatchObject({ sure: false, limit_piece: 10 });
  });
  it("says nothing of a limit too far ahead, nor without a trend", () => {
    const slow = watch({ trend: { per_piece: 0.0001, interval: [0, 0.0002], level: 0 } });
    expect(driftOf(slow, 0.5)?.limit_piece).toBeNull();
    expect(driftOf(watch({ trend: null }), 0.5)).toBeNull();
    expect(driftOf(watch(), null)?.limit_piece).toBeNull();
  });
});

describe("the picture of a run", () => {
  it("has one place for each piece, empty where nothing was read", () => {
    const gap = watch({ readings: [{ piece: 1, off: 0 }, { piece: 3, off: 0.1 }, { piece: 4, off: 0.1 }] });
    const columns = columnsOf({ ...gap, trend: null }, null, 10);
    expect(columns.piece).toEqual([1, 2, 3, 4, 5]);
    expect(columns.off).toEqual([0, null, 0.1, 0.1, null]);
    expect(columns.smoothed).toEqual([-0.04, null, -0.05, -0.04, null]);
    expect(columns.drift).toEqual([null, null, null, null, null]);
  });
  it("carries a sure drift on to the piece past the limit", () => {
    const columns = columnsOf(watch(), driftOf(watch(), 0.5), 10);
    expect(columns.piece.at(-1)).toBe(13);
    expect(columns.drift.at(-1)).toBeCloseTo(0.6, 9);
    expect(columns.drift[0]).toBeCloseTo(-0.2, 9);
  });
  it("shows the limits whole", () => {
    expect(reachOf(watch(), 0.5)).toBeCloseTo(0.575, 9);
    expect(reachOf(watch({ readings: [] }), null)).toBeCloseTo(0.345, 9);
  });
});

describe("what is keyed in from the next piece on", () => {
  const adjust = (shift_set: number): Watch =>
    watch({ advice: { call: "adjust", reasons: [], measure_piece: 10, shift_set } });
  it("is the set angle with the shift, to a tenth", () => {
    expect(newSet(adjust(-0.34), 94.6)).toBe(94.3);
    expect(newSet(watch(), 94.6)).toBeNull();
    expect(newSet(adjust(0.02), 94.6)).toBeNull();
    expect(newSet(adjust(0.3), null)).toBeNull();
  });
});
