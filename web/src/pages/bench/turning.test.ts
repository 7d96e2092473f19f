import { describe, expect, it } from "vitest";
import { layOut } from "../../view3d/line";
import { cross, dot, times, type Vec } from "../../view3d/space";
import { lieOf, planesOf, type Made } from "./turning";

const row = (rotation_deg: number) => ({
  straight_mm: 100,
  rotation_deg,
  angle_deg: 60,
  radius_mm: 80,
});
const a = (bend: number): Made => ({ bend, front: "A" });
const b = (bend: number): Made => ({ bend, front: "B" });
const rows = [row(0), row(50), row(-120), row(30)];

// The clock a leg shows, from the tube laid out in space: an independent way to the same number.
// The viewer looks along `look`; the die lies at die_clock when the bend's inward points to it.
function clockInSpace(bend: number, before: number, look: Vec, die_clock: number): number {
  const line = layOut({ bend_table: rows, last_straight_mm: 100 });
  // Roll every plane back to one straight tube: ahead +X, planes turned by their absolute rotation.
  void line;
  const planes = planesOf(rows);
  const inward = (index: number): Vec => {
    const a = (planes[index - 1]! * Math.PI) / 180;
    return [0, Math.cos(a), Math.sin(a)]; // +X is from end A to end B
  };
  const to = inward(bend);
  const right = cross(look, to); // with `to` up, looking along `look`
  const is = inward(before);
  const clockwise = (Math.atan2(dot(is, right), dot(is, to)) * 180) / Math.PI;
  return (((die_clock + clockwise) % 360) + 360) % 360;
}

describe("how the tube lies for a step", () => {
  it("shows the legs where the tube in space has them, from either end and either side", () => {
    const fromB: Vec = [-1, 0, 0]; // looks from end B to end A: the tail when A is in front
    for (const bend of [2, 3, 4]) {
      const lie = lieOf(rows, bend, [a(bend - 1)], "A", "clockwise", "tail");
      expect(lie.spokes[0]!.clock_deg).toBeCloseTo(clockInSpace(bend, bend - 1, fromB, 90), 6);
      const facing = lieOf(rows, bend, [a(bend - 1)], "A", "clockwise", "front");
      expect(facing.spokes[0]!.clock_deg).toBeCloseTo(
        clockInSpace(bend, bend - 1, times(fromB, -1), 270),
        6,
      );
    }
    for (const bend of [1, 2, 3]) {
      const lie = lieOf(rows, bend, [b(bend + 1)], "B", "counter-clockwise", "tail");
      expect(lie.spokes[0]!.clock_deg).toBeCloseTo(clockInSpace(bend, bend + 1, [1, 0, 0], 270), 6);
    }
  });

  it("turns by the rotation of the table, whichever end is in front", () => {
    expect(lieOf(rows, 2, [a(1)], "A", "clockwise", "tail").turn_deg).toBe(50);
    expect(lieOf(rows, 2, [a(1)], "A", "clockwise", "front").turn_deg).toBe(-50);
    expect(lieOf(rows, 1, [b(2)], "B", "clockwise", "tail").turn_deg).toBe(50);
    expect(lieOf(rows, 1, [], "A", "clockwise", "tail").turn_deg).toBe(0);
  });

  // The planner's rule (planning/planner.cpp, reference_of): only straight tube lies between.
  it("counts from a neighbour that is made, and says when it must be laid flat first", () => {
    const far = lieOf(rows, 2, [a(1), a(3), a(4)], "A", "clockwise", "tail");
    expect(far.spokes.map((spoke) => spoke.bend)).toEqual([1, 3]);
    expect(far.spokes.find((spoke) => spoke.from)!.bend).toBe(3);
    expect(far.turn_deg).toBe(120);
    expect(far.laid).toBe(true);
    expect(lieOf(rows, 2, [a(4), a(1)], "A", "clockwise", "tail")).toMatchObject({ turn_deg: 50, laid: false });
    expect(lieOf(rows, 2, [b(4), b(1)], "A", "clockwise", "tail").laid).toBe(true);
    expect(lieOf(rows, 2, [], "A", "clockwise", "tail").laid).toBe(false);
  });

  it("sums rotations over bends left out", () => {
    expect(planesOf(rows)).toEqual([0, 50, -70, -40]);
    expect(lieOf(rows, 4, [a(1)], "A", "clockwise", "tail").turn_deg).toBe(-40);
  });
});
