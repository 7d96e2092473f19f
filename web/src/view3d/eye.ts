// Where the viewer's eye is, how it moves, and where a point of the part lands on the screen.
// One description for the picture by WebGL and for the drawing by lines.

import { add, cross, dot, minus, radians, times, type Vec } from "./space";
import { centreOf, sizeOf, type Span } from "./line";

export interface Eye {
  target: Vec; // what is looked at
  yaw_rad: number; // 0 from the front (towards +Y), 90° from the right (towards -X)
  pitch_rad: number; // 90° from above
  height_mm: number; // seen from top to bottom of the picture at the target
}

export interface Directions {
  right: Vec;
  up: Vec;
  toward: Vec; // from the target to the eye
}

export type ViewName = "angle" | "front" | "above" | "side";
export const kViews: readonly ViewName[] = ["angle", "front", "above", "side"];

const kViewAngles: Record<ViewName, { yaw_deg: number; pitch_deg: number }> = {
  angle: { yaw_deg: 35, pitch_deg: 28 },
  front: { yaw_deg: 0, pitch_deg: 0 },
  above: { yaw_deg: 0, pitch_deg: 90 },
  side: { yaw_deg: 90, pitch_deg: 0 },
};

export const kFieldOfView_rad = radians(20);
const kPitchMax_rad = radians(90);

export function directionsOf(eye: Eye): Directions {
  const [cy, sy] = [Math.cos(eye.yaw_rad), Math.sin(eye.yaw_rad)];
  const [cp, sp] = [Math.cos(eye.pitch_rad), Math.sin(eye.pitch_rad)];
  const toward: Vec = [sy * cp, -cy * cp, sp];
  const right: Vec = [cy, sy, 0];
  return { right, up: cross(toward, right), toward };
}

export const distanceOf = (eye: Eye): number => eye.height_mm / 2 / Math.tan(kFieldOfView_rad / 2);
export const placeOf = (eye: Eye): Vec =>
  add(eye.target, times(directionsOf(eye).toward, distanceOf(eye)));

export interface Screen {
  width_px: number;
  height_px: number;
}

export interface Seen {
  x_px: number;
  y_px: number; // downwards
  depth_mm: number; // from the eye
  px_per_mm: number; // there
}

export interface Projection {
  (p: Vec): Seen;
}

// A point behind the eye lands far outside.
export function projection(eye: Eye, screen: Screen): Projection {
  const { right, up, toward } = directionsOf(eye);
  const distance = distanceOf(eye);
  const focus_px = screen.height_px / 2 / Math.tan(kFieldOfView_rad / 2);
  return (p: Vec): Seen => {
    const d = minus(p, eye.target);
    const depth_mm = distance - dot(d, toward);
    const px_per_mm = focus_px / Math.max(depth_mm, 1e-6 * distance);
    return {
      x_px: screen.width_px / 2 + dot(d, right) * px_per_mm,
      y_px: screen.height_px / 2 - dot(d, up) * px_per_mm,
      depth_mm,
      px_per_mm,
    };
  };
}

// The eye of a plain view that shows the whole span, with room round it for labels.
export function lookAt(span: Span, view: ViewName, screen: Screen, room_ratio = 1.35): Eye {
  const { yaw_deg, pitch_deg } = kViewAngles[view];
  const eye: Eye = {
    target: centreOf(span),
    yaw_rad: radians(yaw_deg),
    pitch_rad: radians(pitch_deg),
    height_mm: 1,
  };
  const { right, up, toward } = directionsOf(eye);
  const half = times(minus(span.high, span.low), 0.5);
  const reach = (a: Vec): number =>
    Math.abs(a[0]) * half[0] + Math.abs(a[1]) * half[1] + Math.abs(a[2]) * half[2];
  const aspect = screen.width_px / Math.max(1, screen.height_px);
  const flat_mm = Math.max(2 * reach(up), (2 * reach(right)) / Math.max(aspect, 0.05));
  // What lies nearer than the target looks larger by its share of the distance.
  const nearer_mm = 2 * reach(toward) * Math.tan(kFieldOfView_rad / 2);
  const least_mm = Math.max(sizeOf(span) * 0.05, 1);
  return { ...eye, height_mm: Math.max((flat_mm + nearer_mm) * room_ratio, least_mm) };
}

// A slanting view that shows a part's shape: the usual one, unless the part lies so along it that
// another shows clearly more. X goes to the right in each.
export function slantOn(points: readonly Vec[]): { yaw_rad: number; pitch_rad: number } {
  const slants = [
    [35, 28],
    [-35, 28],
    [35, 55],
    [-35, 55],
  ].map(([yaw, pitch]) => ({ yaw_rad: radians(yaw!), pitch_rad: radians(pitch!) }));
  let best = slants[0]!;
  for (const slant of slants) if (breadth(points, slant) > 1.25 * breadth(points, best)) best = slant;
  return best;
}

// How far the points spread across the line on the screen along which they spread most.
function breadth(points: readonly Vec[], angles: { yaw_rad: number; pitch_rad: number }): number {
  const { right, up } = directionsOf({ target: [0, 0, 0], height_mm: 1, ...angles });
  const seen = points.map((p) => [dot(p, right), dot(p, up)] as const);
  const mean = (of: (at: readonly [number, number]) => number): number =>
    seen.reduce((sum, at) => sum + of(at), 0) / Math.max(1, seen.length);
  const [x, y] = [mean((at) => at[0]), mean((at) => at[1])];
  const xx = mean((at) => (at[0] - x) ** 2);
  const yy = mean((at) => (at[1] - y) ** 2);
  const xy = mean((at) => (at[0] - x) * (at[1] - y));
  const least = (xx + yy) / 2 - Math.hypot((xx - yy) / 2, xy);
  return Math.sqrt(Math.max(0, least));
}

// Room that labels take beside the part, on the screen.
const kAside_px = { across: 96, up: 62 };

// The eye of a plain view that shows a tube as large as the picture allows with its labels round it:
// points of its middle line, half_mm to its skin.
export function fit(
  points: readonly Vec[],
  half_mm: number,
  view: ViewName | { yaw_rad: number; pitch_rad: number },
  screen: Screen,
): Eye {
  const angles =
    typeof view === "string"
      ? {
          yaw_rad: radians(kViewAngles[view].yaw_deg),
          pitch_rad: radians(kViewAngles[view].pitch_deg),
        }
      : view;
  const { right, up, toward } = directionsOf({ target: [0, 0, 0], height_mm: 1, ...angles });
  const reach = (a: Vec): [number, number] => {
    let [low, high] = [Infinity, -Infinity];
    for (const p of points) {
      const d = dot(p, a);
      low = Math.min(low, d - half_mm);
      high = Math.max(high, d + half_mm);
    }
    return [low, high];
  };
  const [across, upward, deep] = [reach(right), reach(up), reach(toward)];
  const middle = (range: [number, number]): number => (range[0] + range[1]) / 2;
  const target = add(
    add(times(right, middle(across)), times(up, middle(upward))),
    times(toward, middle(deep)),
  );
  const free = (size_px: number, aside_px: number): number =>
    Math.max(size_px - 2 * aside_px, size_px * 0.4);
  const mm_per_px = Math.max(
    (across[1] - across[0]) / free(screen.width_px, kAside_px.across),
    (upward[1] - upward[0]) / free(screen.height_px, kAside_px.up),
    (2 * half_mm) / (0.5 * screen.height_px),
  );
  // What lies nearer than the target looks larger by its share of the distance: d / (d - nearer).
  const flat_mm = mm_per_px * screen.height_px;
  const nearer_mm = (deep[1] - deep[0]) / 2;
  return { target, height_mm: flat_mm + 2 * nearer_mm * Math.tan(kFieldOfView_rad / 2), ...angles };
}

export const turnedBy = (eye: Eye, yaw_rad: number, pitch_rad: number): Eye => ({
  ...eye,
  yaw_rad: eye.yaw_rad + yaw_rad,
  pitch_rad: Math.max(-kPitchMax_rad, Math.min(kPitchMax_rad, eye.pitch_rad + pitch_rad)),
});

// The picture follows the finger: what was under it stays under it.
export function movedBy(eye: Eye, dx_px: number, dy_px: number, screen: Screen): Eye {
  const { right, up } = directionsOf(eye);
  const mm_per_px = eye.height_mm / Math.max(1, screen.height_px);
  const moved = add(times(right, -dx_px * mm_per_px), times(up, dy_px * mm_per_px));
  return { ...eye, target: add(eye.target, moved) };
}

// Above 1 comes nearer; held between a hundredth and a hundred times the part.
export function zoomedBy(eye: Eye, factor: number, size_mm: number): Eye {
  const height_mm = eye.height_mm / factor;
  return { ...eye, height_mm: Math.max(size_mm / 100, Math.min(size_mm * 100, height_mm)) };
}

// Towards another eye, the short way round; 0 is from, 1 is to.
export function between(from: Eye, to: Eye, share: number): Eye {
  const turn = Math.PI * 2;
  const yaw = ((((to.yaw_rad - from.yaw_rad) % turn) + turn + Math.PI) % turn) - Math.PI;
  const mix = (a: number, b: number): number => a + (b - a) * share;
  return {
    target: add(from.target, times(minus(to.target, from.target), share)),
    yaw_rad: from.yaw_rad + yaw * share,
    pitch_rad: mix(from.pitch_rad, to.pitch_rad),
    height_mm: from.height_mm * Math.pow(to.height_mm / from.height_mm, share),
  };
}

// Half a turn from edge to edge of the picture.
export const radiansPerPixel = (screen: Screen): number =>
  Math.PI / Math.max(200, Math.min(screen.width_px, screen.height_px));
