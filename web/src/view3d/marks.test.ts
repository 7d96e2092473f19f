import { describe, expect, it } from "vitest";
import { fit, kViews, lookAt, projection } from "./eye";
import { layOut, spanOf, stationsOf, startOfCorners } from "./line";
import { marksOf } from "./marks";
import { sizesOf } from "./sizes";
import { radians, type Vec } from "./space";
import { stripsOf } from "./strips";
import rail from "./pulpit_rail.json";

const section = { ...rail.tube, wall_mm: 1.5 };
const line = layOut(rail, startOfCorners(rail.corners_mm as unknown as Vec[]));
const stations = stationsOf(line, radians(4));
const screen = { width_px: 820, height_px: 560 };

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
        for (const b of marks.slice(i + 1)) {
          const apart =
            Math.abs(a.at.x - b.at.x) >= a.half_width + b.half_width ||
            Math.abs(a.at.y - b.at.y) >= a.half_height + b.half_height;
          expect(apart).toBe(true);
        }
      });
    }
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
