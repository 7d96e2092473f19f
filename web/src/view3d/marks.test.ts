import { describe, expect, it } from "vitest";
import { fit, kViews, lookAt, projection } from "./eye";
import { layOut, spanOf, stationsOf, startOfCorners } from "./line";
import { bendNear, bendsByRank, marksOf, type Mark, type Marks } from "./marks";
import { sizesOf } from "./sizes";
import { radians, type Vec } from "./space";
import { stripsOf } from "./strips";
import rail from "./pulpit_rail.json";

const section = { ...rail.tube, wall_mm: 1.5 };
const line = layOut(rail, startOfCorners(rail.corners_mm as unknown as Vec[]));
const stations = stationsOf(line, radians(4));
const screen = { width_px: 820, height_px: 560 };

const apart = (a: Mark, b: Mark): boolean =>
  Math.abs(a.at.x - b.at.x) >= a.half_width + b.half_width ||
  Math.abs(a.at.y - b.at.y) >= a.half_height + b.half_height;

// Forty bends close together, as on a coil of small offsets.
const forty = layOut({
  bend_table: Array.from({ length: 40 }, (_, i) => ({
    straight_mm: 110 + (i % 3) * 15,
    rotation_deg: i === 0 ? 0 : i % 2 ? 90 : -90,
    angle_deg: 30 + (i % 4) * 15,
    radius_mm: 77,
  })),
  last_straight_mm: 300,
});
const fortyStations = stationsOf(forty, radians(4));
function fortyMarks(on: { width_px: number; height_px: number }, nearer = 1, chosen: number | null = null, from: "front" | "side" = "side"): Marks {
  const eye = fit(fortyStations.map((station) => station.at), 12.5, from, on);
  const see = projection({ ...eye, height_mm: eye.height_mm / nearer }, on);
  return marksOf(forty, fortyStations, [], see, on, {
    end_a: "end A",
    end_b: "end B",
    half_mm: 12.5,
    letter_px: 15,
    chosen,
    size_text: () => "",
  });
}
const phone = { width_px: 350, height_px: 420 };
const stamp = { width_px: 220, height_px: 200 }; // too small for forty numbers

describe("marks round the picture", () => {
  it("name both ends and every bend, inside the picture and apart from one another", () => {
    for (const view of kViews) {
      const see = projection(lookAt(spanOf(stations, 12.5), view, screen), screen);
      const { marks } = marksOf(line, stations, [], see, screen, {
        end_a: "end A",
        end_b: "end B",
        half_mm: 12.5,
        letter_px: 14,
        size_text: () => "",
      });
      expect(marks.map((mark) => mark.text)).toEqual(["end A", "end B", "1", "2", "3", "4"]);
      marks.forEach((a, i) => {
        expect(a.at.x).toBeGreaterThan(a.half_width);
        expect(a.at.x).toBeLessThan(screen.width_px - a.half_width);
        for (const b of marks.slice(i + 1)) expect(apart(a, b)).toBe(true);
      });
    }
  });

  it("of forty bends never lie over each other, and every bend has its number or its dot", () => {
    for (const [on, from] of [[screen, "front"], [screen, "side"], [phone, "front"], [phone, "side"], [stamp, "side"]] as const) {
      const { marks, bare } = fortyMarks(on, 1, null, from);
      marks.forEach((a, i) => {
        for (const b of marks.slice(i + 1)) expect(apart(a, b), `${a.text} and ${b.text}`).toBe(true);
      });
      const bends = [...marks.filter((mark) => mark.bend > 0), ...bare].map((one) => one.bend);
      expect(bends.sort((a, b) => a - b)).toEqual(Array.from({ length: 40 }, (_, i) => i + 1));
    }
  });

  it("of a crowd: the chosen bend, both ends of the part and round numbers come first", () => {
    expect(bendsByRank(12, 6)).toEqual([6, 0, 11, 9, 4, 1, 3, 5, 7, 2, 8, 10]);
    for (let chosen = 0; chosen < 40; chosen += 3) {
      expect(fortyMarks(stamp, 1, chosen).marks.some((mark) => mark.bend === chosen + 1)).toBe(true);
    }
  });

  it("all find room in a picture of some size; what is out of sight has neither number nor dot", () => {
    expect(fortyMarks(stamp).bare.length).toBeGreaterThan(0);
    expect(fortyMarks(phone).bare).toEqual([]);
    expect(fortyMarks(screen).bare).toEqual([]);
    const near = fortyMarks(screen, 4, null, "front");
    const targets = [...near.marks.filter((mark) => mark.bend > 0), ...near.bare].map((one) => one.target);
    expect(targets.length).toBeLessThan(40);
    for (const { x, y } of targets) expect(x >= 0 && y >= 0 && x <= screen.width_px && y <= screen.height_px).toBe(true);
  });

  it("are chosen by the number that is nearest, or by the dot of one that has none", () => {
    const all = fortyMarks(stamp);
    const [mark, dot] = [all.marks.find((one) => one.bend === 10)!, all.bare[0]!];
    expect(bendNear(all, mark.at.x + 2, mark.at.y)).toBe(10);
    const none: Marks = { marks: [], sizes: [], bare: [dot] };
    expect(bendNear(none, dot.target.x + 3, dot.target.y)).toBe(dot.bend);
    expect(bendNear(none, dot.target.x + 40, dot.target.y)).toBeNull();
  });

  it("leave out a dimension seen end on", () => {
    const straight = layOut({ bend_table: [], last_straight_mm: 500 });
    const own = stationsOf(straight, 0.1);
    const sizes = sizesOf(straight, section, "centre");
    const shown = (view: "front" | "side") =>
      marksOf(
        straight,
        own,
        sizes,
        projection(
          fit(
            own.map((station) => station.at),
            12.5,
            view,
            screen,
          ),
          screen,
        ),
        screen,
        { end_a: "A", end_b: "B", half_mm: 12.5, letter_px: 14, size_text: (s) => String(s.value_mm) },
      ).sizes.map((size) => size.text);
    expect(shown("front")).toEqual(["500"]);
    expect(shown("side")).toEqual([]);
  });

  it("draw far pieces before near ones", () => {
    const see = projection(lookAt(spanOf(stations, 12.5), "angle", screen), screen);
    const strips = stripsOf(stations, 12.5, see);
    expect(strips.length).toBeGreaterThan(20);
    for (let i = 1; i < strips.length; ++i) {
      expect(strips[i]!.share).toBeGreaterThanOrEqual(strips[i - 1]!.share);
    }
  });
});
