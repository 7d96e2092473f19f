import { describe, expect, it } from "vitest";
import { between, directionsOf, fit, kViews, lookAt, movedBy, projection, slantOn, turnedBy, zoomedBy } from "./eye";
import { eyeAfterKey } from "./gestures";
import { add, cross, dot, minus, norm, radians, times, type Vec } from "./space";

const span = { low: [-100, -50, 0] as Vec, high: [900, 350, 600] as Vec };
const screen = { width_px: 800, height_px: 500 };

describe("the eye", () => {
  it("shows a right hand picture in every view: right x up points to the viewer", () => {
    for (const view of kViews) {
      const { right, up, toward } = directionsOf(lookAt(span, view, screen));
      expect(norm(minus(cross(right, up), toward))).toBeLessThan(1e-12);
      expect(Math.abs(dot(right, up))).toBeLessThan(1e-12);
    }
  });

  it("has plain views that mean what they say", () => {
    const see = (view: "front" | "above" | "side", p: Vec) =>
      projection(lookAt(span, view, screen), screen)(p);
    // From the front: X to the right, Z up. From above: X to the right, Y up. From the side: Y.
    expect(see("front", [900, 0, 0]).x_px).toBeGreaterThan(see("front", [0, 0, 0]).x_px);
    expect(see("front", [0, 0, 600]).y_px).toBeLessThan(see("front", [0, 0, 0]).y_px);
    expect(see("above", [0, 350, 0]).y_px).toBeLessThan(see("above", [0, 0, 0]).y_px);
    expect(see("side", [0, 350, 0]).x_px).toBeGreaterThan(see("side", [0, 0, 0]).x_px);
  });

  it("sees the whole span in every view on every screen", () => {
    for (const view of kViews) {
      for (const size of [screen, { width_px: 360, height_px: 700 }, { width_px: 900, height_px: 200 }]) {
        const see = projection(lookAt(span, view, size), size);
        for (let k = 0; k < 8; ++k) {
          const corner: Vec = [
            k & 1 ? span.low[0] : span.high[0],
            k & 2 ? span.low[1] : span.high[1],
            k & 4 ? span.low[2] : span.high[2],
          ];
          const { x_px, y_px } = see(corner);
          expect(x_px).toBeGreaterThan(0);
          expect(x_px).toBeLessThan(size.width_px);
          expect(y_px).toBeGreaterThan(0);
          expect(y_px).toBeLessThan(size.height_px);
        }
      }
    }
  });

  it("slants so that a part is not seen along its own plane", () => {
    const usual = slantOn([
      [0, 0, 0],
      [400, 0, 0],
      [400, 300, 0],
      [400, 300, 250],
    ]);
    expect(usual.yaw_rad).toBeCloseTo(radians(35), 12);
    // A zigzag in the very plane the usual slant looks along.
    const { right, toward } = directionsOf({ target: [0, 0, 0], height_mm: 1, ...usual });
    const zigzag = [0, 1, 2, 3].map((k): Vec => {
      return add(times(right, 300 * k), times(toward, k % 2 ? 200 : 0));
    });
    const other = slantOn(zigzag);
    const up = directionsOf({ target: [0, 0, 0], height_mm: 1, ...other }).up;
    const across = directionsOf({ target: [0, 0, 0], height_mm: 1, ...other }).right;
    const at = zigzag.map((p) => [dot(p, across), dot(p, up)] as const);
    const [a, b, c] = [at[0]!, at[1]!, at[2]!];
    const area = Math.abs((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]));
    expect(area).toBeGreaterThan(30_000);
  });

  it("fits a tube as large as its labels allow", () => {
    const points: Vec[] = [
      [0, 0, 0],
      [0, 0, 500],
      [400, 80, 500],
      [900, 300, 100],
    ];
    for (const view of kViews) {
      for (const size of [screen, { width_px: 500, height_px: 700 }]) {
        const see = projection(fit(points, 12, view, size), size);
        const xs = points.map((p) => see(p).x_px);
        const ys = points.map((p) => see(p).y_px);
        expect(Math.min(...xs)).toBeGreaterThan(60);
        expect(Math.max(...xs)).toBeLessThan(size.width_px - 60);
        expect(Math.min(...ys)).toBeGreaterThan(40);
        expect(Math.max(...ys)).toBeLessThan(size.height_px - 40);
        const share = Math.max(
          (Math.max(...xs) - Math.min(...xs)) / (size.width_px - 192),
          (Math.max(...ys) - Math.min(...ys)) / (size.height_px - 124),
        );
        expect(share).toBeGreaterThan(0.7);
      }
    }
  });

  it("keeps what is under the finger under it", () => {
    const eye = lookAt(span, "angle", screen);
    const before = projection(eye, screen)(eye.target);
    const after = projection(movedBy(eye, 40, -25, screen), screen)(eye.target);
    expect(after.x_px - before.x_px).toBeCloseTo(40, 6);
    expect(after.y_px - before.y_px).toBeCloseTo(-25, 6);
  });

  it("never turns over and never zooms away", () => {
    let eye = lookAt(span, "angle", screen);
    for (let i = 0; i < 100; ++i) eye = turnedBy(eye, 0.1, 0.2);
    expect(eye.pitch_rad).toBeCloseTo(radians(90), 12);
    for (let i = 0; i < 200; ++i) eye = zoomedBy(eye, 1.5, 1000);
    expect(eye.height_mm).toBe(10);
  });

  it("goes the short way round to another view", () => {
    const from = { ...lookAt(span, "front", screen), yaw_rad: radians(350) };
    const to = lookAt(span, "front", screen);
    expect(between(from, to, 0.5).yaw_rad).toBeCloseTo(radians(355), 9);
    expect(between(from, to, 1).height_mm).toBeCloseTo(to.height_mm, 9);
  });

  it("follows the keys", () => {
    const eye = lookAt(span, "front", screen);
    const key = (name: string, shift = false) => eyeAfterKey(eye, name, shift, screen, 1000);
    expect(key("ArrowRight")!.yaw_rad).toBeGreaterThan(eye.yaw_rad);
    expect(key("ArrowUp")!.pitch_rad).toBeGreaterThan(eye.pitch_rad);
    expect(key("+")!.height_mm).toBeLessThan(eye.height_mm);
    expect(key("ArrowLeft", true)!.target).not.toEqual(eye.target);
    expect(key("x")).toBeNull();
  });
});
