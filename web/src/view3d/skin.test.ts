import { describe, expect, it } from "vitest";
import { layOut, stationsOf } from "./line";
import { outline, skinOf, volumeOf, type Section } from "./skin";
import { radians } from "./space";

const round: Section = {
  round: true,
  hollow: true,
  height_mm: 40,
  width_mm: 40,
  wall_mm: 2,
  corner_radius_mm: 0,
};
const table = {
  bend_table: [
    { straight_mm: 120, rotation_deg: 0, angle_deg: 75, radius_mm: 90 },
    { straight_mm: 80, rotation_deg: 50, angle_deg: 140, radius_mm: 70 },
  ],
  last_straight_mm: 60,
};

// Area of the polygon that stands for the outline.
function areaOf(points: { h: number; w: number }[]): number {
  return points.reduce((sum, p, i) => {
    const q = points[(i + 1) % points.length]!;
    return sum + (p.h * q.w - q.h * p.w) / 2;
  }, 0);
}

describe("the skin of a tube", () => {
  it("encloses section times developed length (second theorem of Pappus and Guldin)", () => {
    const line = layOut(table);
    const length_mm = 120 + 80 + 60 + 90 * radians(75) + 70 * radians(140);
    for (const section of [
      round,
      { ...round, hollow: false, wall_mm: null },
      { ...round, round: false, height_mm: 30, width_mm: 50, corner_radius_mm: 6 },
    ]) {
      const fine = skinOf(stationsOf(line, radians(0.5)), section);
      const bore = section.hollow ? areaOf(outline(section, section.wall_mm ?? 0)) : 0;
      const area_mm2 = areaOf(outline(section)) - bore;
      // Chords of half a degree: short by 1 - sin(0.25°)/0.25° = 3e-6.
      expect(volumeOf(fine) / (area_mm2 * length_mm)).toBeCloseTo(1, 4);
    }
  });

  it("has outlines of the true area", () => {
    // A regular 40-gon has (40/2π) sin(2π/40) of its circle.
    const share = (40 / (2 * Math.PI)) * Math.sin((2 * Math.PI) / 40);
    expect(areaOf(outline(round))).toBeCloseTo(share * Math.PI * 400, 6);
    const square = { ...round, round: false, corner_radius_mm: 0 };
    expect(areaOf(outline(square))).toBeCloseTo(1600, 9);
  });

  it("is closed: every edge is met from both sides", () => {
    for (const section of [round, { ...round, hollow: false }, { ...round, round: false }]) {
      const skin = skinOf(stationsOf(layOut(table), radians(10)), section);
      const edges = new Map<string, number>();
      const key = (index: number): string =>
        [0, 1, 2].map((axis) => Math.round(skin.positions[3 * index + axis]! * 1e3)).join();
      for (let i = 0; i < skin.indices.length; i += 3) {
        for (let k = 0; k < 3; ++k) {
          const a = key(skin.indices[i + k]!);
          const b = key(skin.indices[i + ((k + 1) % 3)]!);
          if (a === b) continue;
          edges.set(`${a}|${b}`, (edges.get(`${a}|${b}`) ?? 0) + 1);
        }
      }
      for (const [edge, count] of edges) {
        const [a, b] = edge.split("|");
        expect(edges.get(`${b}|${a}`)).toBe(count);
      }
    }
  });

  it("makes a bar of a wall that fills the bore, and nothing of nothing", () => {
    const full = skinOf(stationsOf(layOut(table), radians(5)), { ...round, wall_mm: 20 });
    const bar = skinOf(stationsOf(layOut(table), radians(5)), { ...round, hollow: false });
    expect(volumeOf(full)).toBe(volumeOf(bar));
    expect(skinOf([], round).indices.length).toBe(0);
  });
});
