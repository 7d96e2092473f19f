import { expect, test } from "vitest";
import type { RackLine, Rec } from "./answers";
import { factsOf, inOrder } from "./shelf_list";
import { shelfOf } from "./shelves";

const mm = { unit: "mm" } as const;
const rec = (id: string, document: Record<string, unknown>): Rec =>
  ({ kind: "die_set", id, revision: 1, change: 1, deed: "put", content_of: 1, at: "", by: "", withdrawn: false, document }) as Rec;

test("facts are told as name, number, unit", () => {
  const bender = { name: "Heron", size_max: 60.3, die_radius_max: 260, torque_max_nm: 6500, kind: "hand-placed" };
  expect(factsOf(shelfOf("bender"), bender, mm)).toEqual([
    "hand-placed", "Largest size 60.3 mm", "Largest die radius 260 mm", "Torque 6500 N·m",
  ]);
  const square = { name: "30SQ", radius: 90, groove_height: 30, groove_width: 40, clamp: "2 in", mandrel: false };
  expect(factsOf(shelfOf("die_set"), square, mm)).toEqual(["Groove 30 × 40 mm", "Die radius 90 mm", "Clamp needs 50.8 mm"]);
  expect(factsOf(shelfOf("die_set"), { ...square, units: "mm" }, { unit: "in" })).toContain("Clamp needs 2 in");
  expect(factsOf(shelfOf("die_set"), { radius: "much", groove: 25, wiper: true }, mm)).toEqual(["Groove 25 mm", "Die radius much", "Wiper"]);
  expect(factsOf(shelfOf("trial"), { set: 94.6, finished: "90° 30'", who: "MK" }, mm)).toEqual([
    "Set angle 94.6°", "Came out at 90° 30'", "Springback 4.1°", "MK",
  ]);
  const tube = { size: "25 x 1.5", length: "20 ft", pieces: 4, heat: "S118", place: "rack 1" };
  expect(factsOf(shelfOf("tube"), tube, mm)).toEqual(["4 sticks of 6096 mm", "Heat number S118", "rack 1"]);
  expect(factsOf(shelfOf("tube"), { size: "25 x 1.5" }, mm)).toEqual(["1 stick"]);
});

test("die sets stand by tube size, then radius, whatever they are called and measured in", () => {
  const sets = [
    rec("a", { name: "110R300", groove: 110, radius: 300 }),
    rec("b", { name: "38R114", groove: "1.5 in", radius: "4.5 in" }),
    rec("c", { name: "9R30", groove: 9, radius: 30 }),
    rec("d", { name: "38R76", groove: 38.1, radius: 76.2 }),
    rec("e", { name: "unread", groove: "?", radius: 10 }),
    rec("f", { name: "30SQ-R90", groove_height: 30, groove_width: 30, radius: 90 }),
    rec("g", { units: "in", name: "EMT34", groove: 0.922, radius: 4.5 }),
  ];
  expect(inOrder("die_set", sets, []).map((r) => r.id).join("")).toBe("cgfdbae");
});

test("names count their numbers, and tube in stock lies by its real size", () => {
  const named = ["rack 10", "rack 9", "Rack 1"].map((name, i) => rec(String(i), { name }));
  expect(inOrder("material", named, []).map((r) => r.document["name"])).toEqual(["Rack 1", "rack 9", "rack 10"]);
  const line = (id: string, height_mm: number, wall_mm: number | null): RackLine => ({
    id, size: "", designation: "", material: "", heat: "", place: "", length_mm: null, pieces: 1,
    section: { shape: "round", height_mm, width_mm: height_mm, wall_mm, flange_mm: null, corner_radius_mm: 0 },
  });
  const tubes = ["NPS 1-1/2", "25 x 1.5", "25 x 1", "odd"].map((size, i) => rec(String(i), { size }));
  const rack = [line("0", 48.26, 3.68), line("1", 25, 1.5), line("2", 25, 1)];
  expect(inOrder("tube", tubes, rack).map((r) => r.id)).toEqual(["2", "1", "0", "3"]);
});
