// What the charts of a run mean, in words and figures for whoever stands beside the machine.
import type { Watch } from "./bench_answers";

export interface Drift {
  per_piece_deg: number;
  sure: boolean; // the band of the drift has no zero in it
  limit_piece: number | null; // the first on the drift's line past a limit; null: not within reach
}

const kFarthest = 200; // pieces ahead worth a word

// Null where too little is read, or where the readings do not move.
export function driftOf(watch: Watch, tolerance_deg: number | null): Drift | null {
  const { trend, readings } = watch;
  const last = readings.at(-1)?.piece;
  if (!trend || trend.per_piece === null || trend.level === null || last === undefined) return null;
  const [low, high] = trend.interval;
  const sure = low !== null && high !== null && (low > 0 || high < 0);
  const slope = trend.per_piece;
  if (slope === 0) return null;
  let limit_piece: number | null = null;
  if (tolerance_deg !== null) {
    // Rounded before, so that a level on the limit is on it and not a hair past.
    const room = tolerance_deg - trend.level * Math.sign(slope);
    const ahead = Math.floor(Number((room / Math.abs(slope)).toFixed(6))) + 1;
    if (ahead <= kFarthest) limit_piece = last + Math.max(1, ahead);
  }
  return { per_piece_deg: slope, sure, limit_piece };
}

// Columns for drawing, by piece: readings, smoothed value, and the drift carried on to the limit.
export interface Columns {
  piece: number[];
  off: (number | null)[];
  smoothed: (number | null)[];
  upper: (number | null)[];
  lower: (number | null)[];
  drift: (number | null)[];
}

export function columnsOf(watch: Watch, drift: Drift | null, pieces: number): Columns {
  const first = watch.readings[0]?.piece ?? 1;
  const last = watch.readings.at(-1)?.piece ?? 1;
  const drawn = drift?.sure ?? false;
  const until = drawn ? Math.min(drift!.limit_piece ?? last + 3, last + 20) : last;
  const end = Math.max(until, Math.min(pieces, last + 1), first + 4);
  const piece = Array.from({ length: end - first + 1 }, (_, index) => first + index);
  const at = new Map(watch.readings.map((one, index) => [one.piece, index]));
  const pick = (list: readonly number[] | undefined): (number | null)[] =>
    piece.map((number) => {
      const index = at.get(number);
      return index === undefined ? null : (list?.[index] ?? null);
    });
  return {
    piece,
    off: pick(watch.readings.map((one) => one.off)),
    smoothed: pick(watch.chart.smoothed),
    upper: pick(watch.chart.smoothed_upper),
    lower: pick(watch.chart.smoothed_lower),
    drift: piece.map((number) =>
      drawn && number <= until ? watch.trend!.level! + drift!.per_piece_deg * (number - last) : null,
    ),
  };
}

// How far up and down the picture goes: limits and readings with some air.
export function reachOf(watch: Watch, tolerance_deg: number | null): number {
  const sizes = watch.readings.map((one) => Math.abs(one.off));
  const limits = [tolerance_deg, watch.chart.upper, watch.chart.lower].map((one) => Math.abs(one ?? 0));
  return 1.15 * Math.max(0.1, ...sizes, ...limits);
}

// Pieces of a thousand expected beyond the limits; "fewer than one" is 0.
export const inThousand = (beyond: number): number => Math.round(beyond * 1000);

// What a setter keys in from the next piece on, to a tenth; null: leave it.
export function newSet(watch: Watch, set_deg: number | null): number | null {
  const shift = watch.advice.shift_set;
  if (shift === undefined || set_deg === null) return null;
  const wanted = Math.round((set_deg + shift) * 10) / 10;
  return wanted === Math.round(set_deg * 10) / 10 ? null : wanted;
}
