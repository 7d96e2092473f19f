import { expect, test } from "vitest";
import { barMm, benderBox, benderLimits, commonScale, dieLook, dieOutline, grooveOf, sectionPath } from "./shelf_pictures";

test("a die set's parts are as long as its document says", () => {
  const look = dieLook({ radius: "4.5 in", groove: "1.5 in", clamp: 95, pressure_die: 220, tail: 110, mandrel: true, wiper: true })!;
  const drawn = dieOutline(look);
  expect(drawn.disc).toBeCloseTo(114.3 - 19.05, 9); // radius is to the middle of the groove
  expect(drawn.tube.bottom - drawn.tube.top).toBeCloseTo(38.1, 9);
  expect((drawn.tube.bottom + drawn.tube.top) / 2).toBeCloseTo(-114.3, 9);
  expect(drawn.tube.left).toBe(-110);
  expect(drawn.clamp!.right).toBe(95);
  expect(drawn.pressureDie!.left).toBe(-220);
  expect(drawn.mandrel!.bottom).toBeLessThan(drawn.tube.bottom);
  // The wiper lies on the groove's bottom and on the tube, its tip at the tangent point.
  for (const [x, y] of drawn.wiper!.slice(0, -1)) expect(Math.hypot(x, y)).toBeCloseTo(drawn.disc, 9);
  expect(drawn.wiper!.at(-1)![1]).toBeCloseTo(drawn.tube.bottom, 9);
  expect(drawn.wiper![0]![0]).toBeCloseTo(0, 9);
  // Nothing looks out of the frame.
  for (const box of [drawn.tube, drawn.clamp!, drawn.pressureDie!, drawn.mandrel!]) {
    expect(box.left).toBeGreaterThanOrEqual(drawn.box.left);
    expect(box.right).toBeLessThanOrEqual(drawn.box.right);
    expect(box.top).toBeGreaterThanOrEqual(drawn.box.top);
  }
});

test("what a document does not say is not drawn", () => {
  expect(dieLook({ radius: 75 })).toBeNull();
  expect(dieLook({ radius: 10, groove: 25 })).toBeNull(); // no such bend
  const bare = dieOutline(dieLook({ radius: 75, groove: 25 })!);
  expect([bare.clamp, bare.pressureDie, bare.mandrel, bare.wiper]).toEqual([null, null, null, null]);
  expect(grooveOf({ groove: 25, groove_height: 30, groove_width: 40 })).toEqual({ height: 30, width: 40, round: false });
  expect(benderLimits({ size_max: 30 })).toBeNull();
});

test("one scale for a shelf, and a bar of a round length", () => {
  const small = dieOutline(dieLook({ radius: 36, groove: 12, clamp: 24 })!).box;
  const large = dieOutline(dieLook({ radius: 145, groove: 48.3, clamp: 110, pressure_die: 260 })!).box;
  const scale = commonScale([small, large], { width: 190, height: 150 }, 3);
  expect((large.right - large.left) * scale).toBeLessThanOrEqual(190 + 1e-9);
  expect((large.bottom - large.top) * scale).toBeLessThanOrEqual(150 + 1e-9);
  expect(commonScale([small], { width: 1e5, height: 1e5 }, 3)).toBe(3);
  expect(barMm(0.4, 60, 1)).toBe(100);
  expect(barMm(2, 60, 1)).toBe(20);
  expect(barMm(0.4, 60, 25.4)).toBeCloseTo(127, 9); // 5 in
  const limits = benderLimits({ size_max: 60.3, die_radius_max: 260, wall_max: 5.5, kind: "three-roll" })!;
  expect(benderBox(limits).right).toBeCloseTo(30.15, 9);
});

test("sections have the wall and corners they are said to have", () => {
  const tube = { height_mm: 25, width_mm: 25, wall_mm: 1.5, flange_mm: null, corner_radius_mm: 0 };
  expect(sectionPath({ shape: "round", ...tube })).toContain("a12.5 12.5");
  expect(sectionPath({ shape: "round", ...tube })).toContain("a11 11");
  expect(sectionPath({ shape: "round", ...tube, wall_mm: null })).not.toContain("a11 11");
  const box = sectionPath({ shape: "rectangle", height_mm: 40, width_mm: 20, wall_mm: 2, flange_mm: null, corner_radius_mm: 3 });
  expect(box).toMatch(/^M-7 -20h14a3 3 .*M-7 -18h14a1 1 /);
  const channel = sectionPath({ shape: "channel", height_mm: 100, width_mm: 50, wall_mm: 6, flange_mm: 8.5, corner_radius_mm: 0 });
  expect(channel).toContain("-19 -41.5");
  expect(sectionPath({ shape: "angle", height_mm: 50, width_mm: 30, wall_mm: 5, flange_mm: null, corner_radius_mm: 0 })).toContain("-10 20");
});
