import { describe, expect, it } from "vitest";
import { layOut } from "./line";
import { sizesOf } from "./sizes";
import type { Section } from "./skin";

const tube: Section = {
  round: true,
  hollow: true,
  height_mm: 38.1,
  width_mm: 38.1,
  wall_mm: 1.65,
  corner_radius_mm: 0,
};
const values = (table: Parameters<typeof layOut>[0], to: "centre" | "outside" | "inside") =>
  sizesOf(layOut(table), tube, to).map((size) => size.value_mm);

describe("dimensions along the legs", () => {
  // One 90: centre to corner is straight plus radius, over the outside half a tube more.
  const elbow = {
    bend_table: [{ straight_mm: 200, rotation_deg: 0, angle_deg: 90, radius_mm: 114.3 }],
    last_straight_mm: 300,
  };
  it("of an elbow are those of the workshop's pencil", () => {
    expect(values(elbow, "centre")[0]).toBeCloseTo(314.3, 9);
    expect(values(elbow, "outside")[0]).toBeCloseTo(314.3 + 19.05, 9);
    expect(values(elbow, "inside")[1]).toBeCloseTo(414.3 - 19.05, 9);
  });

  it("of a U measure its width over the outside", () => {
    const u = {
      bend_table: [
        { straight_mm: 100, rotation_deg: 0, angle_deg: 90, radius_mm: 100 },
        { straight_mm: 150, rotation_deg: 0, angle_deg: 90, radius_mm: 100 },
      ],
      last_straight_mm: 100,
    };
    expect(values(u, "centre")[1]).toBeCloseTo(350, 9);
    expect(values(u, "outside")[1]).toBeCloseTo(350 + 38.1, 9);
    expect(values(u, "inside")[1]).toBeCloseTo(350 - 38.1, 9);
  });

  it("fall back to the straight where a bend has no corner of use", () => {
    const hairpin = {
      bend_table: [{ straight_mm: 250, rotation_deg: 0, angle_deg: 180, radius_mm: 60 }],
      last_straight_mm: 240,
    };
    const sizes = sizesOf(layOut(hairpin), tube, "outside");
    expect(sizes.map((size) => size.to_corner)).toEqual([false, false]);
    expect(sizes.map((size) => size.value_mm)).toEqual([250, 240]);
  });

  it("take the size that lies in the bend's plane for flat sections", () => {
    const section: Section = { ...tube, round: false, height_mm: 40, width_mm: 20 };
    const table = {
      bend_table: [
        { straight_mm: 100, rotation_deg: 0, angle_deg: 90, radius_mm: 80 },
        { straight_mm: 100, rotation_deg: 90, angle_deg: 90, radius_mm: 80 },
      ],
      last_straight_mm: 100,
    };
    const [first, , last] = sizesOf(layOut(table), section, "outside");
    expect(first!.value_mm).toBeCloseTo(180 + 20, 9);
    expect(last!.value_mm).toBeCloseTo(180 + 10, 9);
  });
});
