import { expect, test } from "vitest";
import { benderLook, reshaped, shapeOf, stacked } from "./bender_bodies";

const mm = { unit: "mm", mark: "point" } as const;
const bender = (rest: Record<string, unknown>) => ({ die_radius_max: 100, direction: "counter-clockwise", ...rest });

test("a box stands centred on its place, the clamp's from the tube's tangent point", () => {
  const look = benderLook(
    bender({
      body: [
        { name: "bench", box: [200, 100, 50], at: [10, 0, -60] },
        { name: "clamp", on: "clamp", box: [20, 20, 20], at: [0, -12, 0] },
      ],
    }),
    mm,
  );
  expect(Math.min(...look.bodies[0]!.above.map((p) => p[0]))).toBe(-90);
  expect(Math.max(...look.bodies[0]!.beside.map((p) => p[1]))).toBe(-35);
  // A head that turns counter-clockwise has its tube at y = -R.
  expect(Math.max(...look.bodies[1]!.above.map((p) => p[1]))).toBe(-102);
});

test("a quarter turn about z swaps the sides; about x lays it down", () => {
  const sides = (turned: number[]) => {
    const [body] = benderLook(bender({ body: [{ name: "b", box: [200, 100, 50], turned }] }), mm).bodies;
    const span = (points: readonly (readonly [number, number])[], i: 0 | 1) =>
      Math.round(Math.max(...points.map((p) => p[i])) - Math.min(...points.map((p) => p[i])));
    return [span(body!.above, 0), span(body!.above, 1), span(body!.beside, 1)];
  };
  expect(sides([0, 0, 90])).toEqual([100, 200, 50]);
  expect(sides([90, 0, 0])).toEqual([200, 50, 100]);
});

test("inches and typed lengths count, what has no size is named", () => {
  const look = benderLook(
    bender({ die_radius_max: 4, body: [{ name: "post", cylinder: { diameter: "50 mm", length: 2 } }, { name: "hood", mesh: { file: "hood.stl" } }] }),
    { unit: "in", mark: "point" },
  );
  expect(Math.max(...look.bodies[0]!.above.map((p) => p[0]))).toBeCloseTo(25);
  expect(Math.max(...look.bodies[0]!.beside.map((p) => p[1]))).toBeCloseTo(25.4);
  expect(look.unseen).toEqual(["hood"]);
});

test("a wall behind the feed stands square to its direction", () => {
  const look = benderLook(bender({ room: { floor: 1000, wall: [{ name: "w", direction: 90, distance: 1300 }] } }), mm);
  expect(look.floor).toBe(-1000);
  for (const end of [look.walls[0]!.from, look.walls[0]!.to]) expect(end[1]).toBeCloseTo(1300);
});

test("another shape keeps name and place", () => {
  const body = { name: "arm", on: "arm", at: [1, 2, 3] as [number, number, number], box: [1, 1, 1] as [number, number, number] };
  const round = reshaped(body, "cylinder");
  expect(shapeOf(round)).toBe("cylinder");
  expect(round.box).toBeUndefined();
  expect(round.at).toEqual([1, 2, 3]);
});

test("a stack of dies: heights as typed, the lowest at nothing", () => {
  expect(stacked([], 1, 75)).toEqual([0, 75]);
  expect(stacked([0, 75], 2, "6 in")).toEqual([0, 75, "6 in"]);
  expect(stacked([0, 75, 150], 1, undefined)).toEqual([0, 150]);
  expect(stacked([0, 75], 1, undefined)).toBe(undefined);
  expect(benderLook(bender({ levels: [0, "3 in"] }), mm).levels).toEqual([0, 76.2]);
  expect(benderLook(bender({}), mm).levels).toEqual([0]);
  expect(benderLook(bender({ levels: [0, "high"] }), mm).levels).toEqual([0]);
});
