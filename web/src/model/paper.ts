// From a place on the shop's floor, in mm, to a picture of it.
import type { Frame, Point } from "./bender_bodies";

const margin = 0.08;

// Paper coordinates: the picture is 400 wide, up is up.
export function paper(frame: Frame) {
  const span = Math.max(frame.right - frame.left, 1);
  const rise = Math.max(frame.high - frame.low, 1);
  const scale = Math.min(400 / span, 300 / rise) * (1 - 2 * margin);
  const width = span * scale + 400 * 2 * margin;
  const height = rise * scale + 300 * 2 * margin;
  const x = (v: number) => (v - frame.left) * scale + 400 * margin;
  const y = (v: number) => (frame.high - v) * scale + 300 * margin;
  return { scale, width, height, x, y, path: (points: readonly Point[]) => points.map((p) => `${x(p[0])},${y(p[1])}`).join(" ") };
}
// A number is written where the body is large enough to bear it.
export const bears = (points: readonly Point[], scale: number): boolean =>
  (Math.max(...points.map((p) => p[0])) - Math.min(...points.map((p) => p[0]))) * scale > 22 &&
  (Math.max(...points.map((p) => p[1])) - Math.min(...points.map((p) => p[1]))) * scale > 14;
export const middle = (points: readonly Point[]): Point => [
  (Math.min(...points.map((p) => p[0])) + Math.max(...points.map((p) => p[0]))) / 2,
  (Math.min(...points.map((p) => p[1])) + Math.max(...points.map((p) => p[1]))) / 2,
];
