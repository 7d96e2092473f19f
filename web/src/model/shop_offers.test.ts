import { expect, test } from "vitest";
import type { DieSetLine, RackLine } from "./answers";
import { dieSizeOffers, rackOffers, radiusOffers, sizeText, takes } from "./shop_offers";

const mm = { unit: "mm" } as const;
const die = (name: string, radius_mm: number, height_mm: number, width_mm?: number): DieSetLine => ({
  id: name, name, radius_mm, round: width_mm === undefined, height_mm, width_mm: width_mm ?? height_mm,
});
const lies = (size: string, material: string, pieces: number, length_mm: number | null, od: number, wall: number): RackLine => ({
  id: `${size}${length_mm}`, size, designation: size, material, heat: "", place: "", length_mm, pieces,
  section: { shape: "round", height_mm: od, width_mm: od, wall_mm: wall, flange_mm: null, corner_radius_mm: 0 },
});
const shop = {
  groove_slack_mm: 0.25,
  die_sets: [die("38R114", 114.3, 38.1), die("25R75", 75, 25), die("25R50", 50, 25), die("30SQ-R90", 90, 30, 30), die("EMT34", 114.3, 23.42)],
  rack: [
    lies("NPS 1-1/2 Sch 40 pipe", "A53 Grade B", 2, 6400, 48.26, 3.68),
    lies("25 x 1.5", "316L annealed", 3, 6000, 25, 1.5),
    lies("25 x 1.5", "316L annealed", 2, 2310, 25, 1.5),
    lies("25 x 1.5", "S235JRH", 1, null, 25, 1.5),
    lies("12 x 1.5", "E235+N", 0, 6000, 12, 1.5),
  ],
};

test("a die takes a tube within the shop's slack, each way, and of its own shape", () => {
  const tube = { round: true, height_mm: 25.4, width_mm: 25.4 };
  expect(takes(shop.die_sets[1]!, tube, 0.25)).toBe(false);
  expect(takes(shop.die_sets[1]!, tube, 0.4)).toBe(true);
  expect(takes(shop.die_sets[3]!, { round: true, height_mm: 30, width_mm: 30 }, 0.25)).toBe(false);
  expect(takes(shop.die_sets[3]!, { round: false, height_mm: 30, width_mm: 20 }, 0.25)).toBe(false);
});

test("radii of the dies that take the tube come first, one entry a radius", () => {
  const tube = { round: true, height_mm: 25, width_mm: 25 };
  const offers = radiusOffers(shop, tube, "", mm);
  expect(offers.map((o) => `${o.title}: ${o.more}`)).toEqual([
    "50 mm: 25R50", "75 mm: 25R75", "90 mm: 30SQ-R90 (30 × 30 mm)", "114.3 mm: 38R114 (38.1 mm), EMT34 (23.42 mm)",
  ]);
  expect(new Set(offers.slice(0, 2).map((o) => o.group)).size).toBe(1);
  expect(offers[2]!.group).not.toBe(offers[0]!.group);
  // Without a tube all stand by radius; what is typed narrows them, or goes past them.
  expect(radiusOffers(shop, null, "", mm).map((o) => o.value)).toEqual(["50 mm", "75 mm", "90 mm", "114.3 mm"]);
  expect(radiusOffers(shop, tube, "7", mm).map((o) => o.value)).toEqual(["75 mm"]);
  expect(radiusOffers(shop, tube, "sq", mm).map((o) => o.value)).toEqual(["90 mm"]);
  expect(radiusOffers(shop, tube, "77", mm)).toEqual([]);
  expect(radiusOffers(shop, tube, "", { unit: "in" }).at(-1)!.value).toBe("4.5 in");
});

test("the rack says how much of a size and metal lies there", () => {
  const all = rackOffers(shop, "", "", mm);
  expect(all.map((o) => `${o.title} | ${o.more}`)).toEqual([
    "25 x 1.5 | 316L annealed · 3 sticks of 6000 mm, 2 sticks of 2310 mm",
    "25 x 1.5 | S235JRH · 1 stick",
    "NPS 1-1/2 Sch 40 pipe | A53 Grade B · 2 sticks of 6400 mm",
  ]);
  expect(rackOffers(shop, "25X1,5", "S235JRH", mm).map((o) => o.material)).toEqual(["S235JRH", "316L annealed"]);
  expect(rackOffers(shop, "48.2", "", mm).map((o) => o.value)).toEqual(["NPS 1-1/2 Sch 40 pipe"]);
  expect(rackOffers(shop, "99", "", mm)).toEqual([]);
});

test("sizes of the die sets wait for the wall", () => {
  const offers = dieSizeOffers(shop, "", mm);
  expect(offers.map((o) => o.value)).toEqual(["23.42 x ", "25 x ", "30 x 30 x ", "38.1 x "]);
  expect(offers[1]).toMatchObject({ title: "25 mm", further: true });
  expect(offers[1]!.more).toContain("25R75, 25R50");
  expect(dieSizeOffers(shop, "25", mm)).toEqual([]); // as far as it goes already
  expect(dieSizeOffers(shop, "2", mm).map((o) => o.value)).toEqual(["23.42 x ", "25 x "]);
  expect(dieSizeOffers(shop, "", { unit: "in" })[3]!.value).toBe("1.5 in x ");
});

test("a listed size is told in the unit of the station, its standard once", () => {
  const tube = { designation: "1-1/2 x 0.065 in tube ASTM A513", standard: "ASTM A513", round: true, height_mm: 38.099999999999994, width_mm: 38.099999999999994, wall_mm: 1.651 };
  expect(sizeText(tube, mm)).toBe("OD 38.1 × 1.651 mm");
  expect(sizeText(tube, { unit: "in" })).toBe("OD 1.5 × 0.065 in");
  expect(sizeText({ ...tube, designation: "25 x 1.5", standard: "" }, mm)).toBe("OD 38.1 × 1.651 mm");
  const hollow = { designation: "40 x 20 x 2", standard: "EN 10305-5", round: false, height_mm: 40, width_mm: 20, wall_mm: 2 };
  expect(sizeText(hollow, mm)).toBe("40 × 20 × 2 mm · EN 10305-5");
  expect(sizeText({ ...hollow, wall_mm: null }, mm)).toBe("40 × 20 mm · EN 10305-5");
});
