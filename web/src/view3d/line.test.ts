import { describe, expect, it } from "vitest";
import {
  cornerOf,
  bendAt,
  frameAlong,
  layOut,
  lengthOf,
  rollsOf,
  spanOf,
  startOfCorners,
  stationsOf,
  type BendTable,
} from "./line";
import { dot, minus, norm, radians, type Vec } from "./space";

// The service's answer for a part of corner points (bight show --json of the demo's pulpit rail):
// corners it was given, bend table it worked out. Laying that table out must give the corners back.
import rail from "./pulpit_rail.json";

const flat90: BendTable = {
  bend_table: [{ straight_mm: 100, rotation_deg: 0, angle_deg: 90, radius_mm: 50 }],
  last_straight_mm: 200,
};

describe("laying a bend table out", () => {
  it("puts one 90 degree bend where plane geometry does", () => {
    const line = layOut(flat90);
    expect(line.end.at[0]).toBeCloseTo(150, 10);
    expect(line.end.at[1]).toBeCloseTo(250, 10);
    expect(line.end.at[2]).toBeCloseTo(0, 10);
    expect(lengthOf(line)).toBeCloseTo(300 + (50 * Math.PI) / 2, 10);
    expect(norm(minus(cornerOf(bendAt(line, 0)), [150, 0, 0]))).toBeLessThan(1e-9);
  });

  it("turns a positive rotation clockwise seen along the tube from end A", () => {
    // Looking along +X from end A with +Y (inward of bend 1) to the right and +Z downwards,
    // clockwise goes from +Y to +Z.
    const line = layOut({
      bend_table: [
        { straight_mm: 10, rotation_deg: 0, angle_deg: 90, radius_mm: 10 },
        { straight_mm: 10, rotation_deg: 90, angle_deg: 90, radius_mm: 10 },
      ],
      last_straight_mm: 100,
    });
    // After bend 1 the tube runs along +Y with inward -X; turned by 90° about +Y inward is +Z.
    expect(line.end.ahead[2]).toBeCloseTo(1, 12);
  });

  it("gives the corners of the service back", () => {
    const corners = rail.corners_mm as unknown as Vec[];
    const line = layOut(rail, startOfCorners(corners));
    const own: Vec[] = [
      line.segments[0]!.start.at,
      ...rail.bend_table.map((_, index) => cornerOf(bendAt(line, index))),
      line.end.at,
    ];
    expect(own.length).toBe(corners.length);
    own.forEach((corner, index) => {
      expect(norm(minus(corner, corners[index]!))).toBeLessThan(1e-6);
    });
    expect(lengthOf(line)).toBeCloseTo(rail.developed_length_mm, 6);
  });

  it("holds the service's envelope", () => {
    const line = layOut(rail, startOfCorners(rail.corners_mm as unknown as Vec[]));
    const span = spanOf(stationsOf(line, radians(0.5)), rail.tube.height_mm / 2);
    for (const axis of [0, 1, 2] as const) {
      // Stations half a degree apart miss an arc's furthest place by R (1 - cos 0.25°).
      expect(span.low[axis]).toBeCloseTo(rail.envelope_mm.low[axis]!, 2);
      expect(span.high[axis]).toBeCloseTo(rail.envelope_mm.high[axis]!, 2);
    }
  });

  it("closes four equal bends to a ring", () => {
    const row = { straight_mm: 40, rotation_deg: 0, angle_deg: 90, radius_mm: 30 };
    const line = layOut({ bend_table: [row, row, row, row], last_straight_mm: 0 });
    expect(norm(minus(line.end.at, [0, 0, 0]))).toBeLessThan(1e-9);
    expect(dot(line.end.ahead, [1, 0, 0])).toBeCloseTo(1, 12);
  });

  it("finds a place along the tube on straight and arc", () => {
    const line = layOut(flat90);
    expect(frameAlong(line, 60).at).toEqual([60, 0, 0]);
    const half = frameAlong(line, 100 + (50 * Math.PI) / 4);
    expect(half.at[0]).toBeCloseTo(100 + 50 * Math.SQRT1_2, 9);
    expect(frameAlong(line, 1e9).at).toEqual(line.end.at);
  });

  it("keeps the section on the metal: its roll is the sum of the rotations", () => {
    const row = (rotation_deg: number) => ({
      straight_mm: 50,
      rotation_deg,
      angle_deg: 30,
      radius_mm: 60,
    });
    const line = layOut({ bend_table: [row(0), row(40), row(-75)], last_straight_mm: 20 });
    const rolls = rollsOf(line);
    expect(rolls[0]).toBe(0);
    expect(rolls[1]).toBe(0);
    expect(rolls[3]).toBeCloseTo(radians(40), 10);
    expect(rolls[5]).toBeCloseTo(radians(-35), 10);
    // The height direction never jumps: neighbouring stations differ only by the bend's own turn.
    const stations = stationsOf(line, radians(2));
    for (let i = 1; i < stations.length; ++i) {
      expect(dot(stations[i]!.u, stations[i - 1]!.u)).toBeGreaterThan(Math.cos(radians(2.01)));
    }
  });

  it("takes a straight part and repeated points", () => {
    expect(startOfCorners([[1, 2, 3]])).toMatchObject({ ahead: [1, 0, 0] });
    const start = startOfCorners([
      [0, 0, 0],
      [0, 0, 500],
    ]);
    expect(Math.abs(dot(start.ahead, start.inward))).toBeLessThan(1e-12);
    expect(stationsOf(layOut({ bend_table: [], last_straight_mm: 500 }, start), 0.1)).toHaveLength(2);
  });
});
