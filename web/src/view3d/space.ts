// Vectors and travelling frames, with the meaning of docs/notation.md.

export type Vec = readonly [number, number, number];

export const add = (a: Vec, b: Vec): Vec => [a[0] + b[0], a[1] + b[1], a[2] + b[2]];
export const minus = (a: Vec, b: Vec): Vec => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
export const times = (a: Vec, k: number): Vec => [a[0] * k, a[1] * k, a[2] * k];
export const dot = (a: Vec, b: Vec): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
export const cross = (a: Vec, b: Vec): Vec => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];
export const norm = (a: Vec): number => Math.hypot(a[0], a[1], a[2]);
export const along = (p: Vec, direction: Vec, length: number): Vec => add(p, times(direction, length));
export const middle = (a: Vec, b: Vec): Vec => times(add(a, b), 0.5);

// The zero vector has no direction: it comes back as it is.
export function unit(a: Vec): Vec {
  const length = norm(a);
  return length > 0 ? times(a, 1 / length) : a;
}

export const radians = (degrees: number): number => (degrees * Math.PI) / 180;
export const degrees = (radian: number): number => (radian * 180) / Math.PI;

// Some direction square to a unit vector.
export function squareTo(a: Vec): Vec {
  const least: Vec =
    Math.abs(a[0]) <= Math.abs(a[1]) && Math.abs(a[0]) <= Math.abs(a[2])
      ? [1, 0, 0]
      : Math.abs(a[1]) <= Math.abs(a[2])
        ? [0, 1, 0]
        : [0, 0, 1];
  return unit(cross(a, least));
}

// Where we are on the centreline, which way we go, which way the bend turns. Orthonormal;
// normal = ahead x inward.
export interface Frame {
  at: Vec;
  ahead: Vec;
  inward: Vec;
}

export const kStart: Frame = { at: [0, 0, 0], ahead: [1, 0, 0], inward: [0, 1, 0] };

export const normalOf = (f: Frame): Vec => cross(f.ahead, f.inward);
export const advanced = (f: Frame, length_mm: number): Frame => ({
  ...f,
  at: along(f.at, f.ahead, length_mm),
});

// Turned about ahead, right-hand positive.
export function rolled(f: Frame, turn_rad: number): Frame {
  const c = Math.cos(turn_rad);
  const s = Math.sin(turn_rad);
  return { ...f, inward: add(times(f.inward, c), times(normalOf(f), s)) };
}

// Along an arc towards inward.
export function swept(f: Frame, radius_mm: number, angle_rad: number): Frame {
  const c = Math.cos(angle_rad);
  const s = Math.sin(angle_rad);
  const moved = add(times(f.ahead, radius_mm * s), times(f.inward, radius_mm * (1 - c)));
  return {
    at: add(f.at, moved),
    ahead: add(times(f.ahead, c), times(f.inward, s)),
    inward: add(times(f.inward, c), times(f.ahead, -s)),
  };
}
