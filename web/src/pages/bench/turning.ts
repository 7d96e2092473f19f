// How the tube lies for a step, as somebody sees who looks along it: which way it was turned, where
// the legs already bent point.

import type { BendRow } from "../../model/answers";

export type Front = "A" | "B"; // the end that goes ahead through the clamp
export type StandsAt = "tail" | "front"; // looks along the feed, or against it

// A bend that is made, and the end that went ahead for it.
export interface Made {
  bend: number;
  front: Front;
}
export interface Spoke {
  bend: number;
  clock_deg: number; // clockwise from 12 o'clock as seen
  from: boolean; // the turn is counted from this bend lying flat
}
export interface Lie {
  die_clock_deg: number; // where the die lies: the bend goes that way
  spokes: Spoke[]; // of the bends made next to this one, one on a side: between them is straight tube
  turn_deg: number; // clockwise as seen, (-180, 180]
  laid: boolean; // the bend it is turned from is not lying at the die from the step before
}

const wrapped = (deg: number): number => {
  const turn = ((((deg + 180) % 360) + 360) % 360) - 180;
  return turn === -180 ? 180 : turn;
};

// Rotation of each bend's plane from the first bend's, seen from end A along the tube.
export function planesOf(rows: readonly BendRow[]): number[] {
  let plane = 0;
  return rows.map((row, index) => (plane += index === 0 ? 0 : row.rotation_deg));
}

// The bend that the turn is counted from: the one made before where it is a neighbour, else the
// neighbour behind, else the one ahead; none for the first.
function referenceOf(bend: number, made: readonly Made[], front: Front): number | undefined {
  const [below, above] = neighbours(bend, made);
  const last = made.at(-1)?.bend;
  if (last !== undefined && (last === below || last === above)) return last;
  return front === "A" ? (above ?? below) : (below ?? above);
}
function neighbours(bend: number, made: readonly Made[]): [number | undefined, number | undefined] {
  const bends = made.map((one) => one.bend);
  const below = bends.filter((one) => one < bend);
  const above = bends.filter((one) => one > bend);
  return [below.length ? Math.max(...below) : undefined, above.length ? Math.min(...above) : undefined];
}

// A head that turns clockwise (seen from above) has its die on the right of the feed. `made` are
// the bends before this one in the order they were made. A positive rotation is clockwise looking
// from end A along the tube; to bring a plane that lies so into the die's, somebody at the tail who
// looks along the feed towards end A turns the tube clockwise by it.
export function lieOf(
  rows: readonly BendRow[],
  bend: number,
  made: readonly Made[],
  front: Front,
  head: "clockwise" | "counter-clockwise",
  stands: StandsAt,
): Lie {
  const planes = planesOf(rows);
  const sign = front === "A" ? 1 : -1;
  const turnFrom = (before: number): number =>
    wrapped(sign * (planes[bend - 1]! - planes[before - 1]!));
  const die_tail = head === "clockwise" ? 90 : 270;
  const seen = (clock: number): number => (stands === "tail" ? clock : (360 - clock) % 360);
  const from = referenceOf(bend, made, front);
  const spokes = neighbours(bend, made).flatMap((before) =>
    before === undefined
      ? []
      : [
          {
            bend: before,
            clock_deg: (seen((((die_tail + turnFrom(before)) % 360) + 360) % 360) + 360) % 360,
            from: before === from,
          },
        ],
  );
  const turn = from === undefined ? 0 : turnFrom(from);
  const turn_deg = stands === "tail" ? turn : wrapped(-turn);
  const last = made.at(-1);
  const laid = last !== undefined && (last.bend !== from || last.front !== front);
  return { die_clock_deg: seen(die_tail), spokes, turn_deg, laid };
}
