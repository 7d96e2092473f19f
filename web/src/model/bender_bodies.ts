// What stands round a bender's die, as its document says it (docs/formats/shop.md), and how it looks
// from above and from beside the feed. Machine axes: x the way the tube is fed, y to the left of it,
// z up; the origin on the die's axis in the plane of the lowest groove.
import { writtenMm, type Writing, type Written } from "./lengths";

export type Three = [Written, Written, Written];
export interface BodyDocument {
  name?: string;
  on?: string;
  box?: Three;
  cylinder?: { diameter?: Written; length?: Written };
  outline?: [Written, Written][];
  height?: Written;
  mesh?: { file?: string; unit?: string };
  at?: Three;
  turned?: (number | string)[];
  keep_out?: boolean;
}
export interface WallDocument {
  name?: string;
  direction?: number | string;
  distance?: Written;
}
export interface RoomDocument {
  floor?: Written | undefined;
  ceiling?: Written | undefined;
  wall?: WallDocument[];
}

export const carriers = ["frame", "arm", "clamp", "pressure-die", "carriage"] as const;
export const bodyShapes = ["box", "cylinder", "outline", "mesh"] as const;
export type BodyShape = (typeof bodyShapes)[number];

export const shapeOf = (body: BodyDocument): BodyShape => bodyShapes.find((shape) => body[shape] !== undefined) ?? "box";

// The body with another shape, its place kept.
export function reshaped(body: BodyDocument, shape: BodyShape): BodyDocument {
  const { box: _b, cylinder: _c, outline: _o, height: _h, mesh: _m, ...rest } = body;
  if (shape === "box") return { ...rest, box: [100, 100, 100] };
  if (shape === "cylinder") return { ...rest, cylinder: { diameter: 100, length: 100 } };
  if (shape === "outline") return { ...rest, outline: [[0, 0], [100, 0], [100, 50]], height: 50 };
  return { ...rest, mesh: { file: "", unit: "mm" } };
}

export type Point = readonly [number, number];
export interface BodyLook {
  number: number; // from 1, as in the list
  name: string;
  on: string;
  keepOut: boolean;
  above: Point[]; // x, y
  beside: Point[]; // x, z
}
export interface BenderLook {
  bodies: BodyLook[];
  unseen: string[]; // meshes, and bodies without a readable size
  walls: { name: string; from: Point; to: Point }[]; // seen from above
  floor: number | null; // z
  ceiling: number | null;
  die: { radius: number; tubeY: number };
  levels: number[]; // heights of the stack's grooves that can be read, the lowest first
  above: Frame;
  beside: Frame;
}
export interface Frame {
  left: number;
  right: number;
  low: number;
  high: number;
}

type Solid = [number, number, number][];

const convex = (points: Point[]): Point[] => {
  const sorted = [...points].sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  const half = (list: Point[]): Point[] => {
    const out: Point[] = [];
    for (const p of list) {
      for (;;) {
        const [a, b] = [out.at(-2), out.at(-1)];
        if (!a || !b || (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]) > 1e-9) break;
        out.pop();
      }
      out.push(p);
    }
    return out.slice(0, -1);
  };
  return [...half(sorted), ...half(sorted.reverse())];
};

function turnedBy(p: [number, number, number], degrees: number[]): [number, number, number] {
  let [x, y, z] = p;
  const [a, b, c] = degrees.map((d) => (d * Math.PI) / 180) as [number, number, number];
  [y, z] = [y * Math.cos(a) - z * Math.sin(a), y * Math.sin(a) + z * Math.cos(a)];
  [x, z] = [x * Math.cos(b) + z * Math.sin(b), -x * Math.sin(b) + z * Math.cos(b)];
  [x, y] = [x * Math.cos(c) - y * Math.sin(c), x * Math.sin(c) + y * Math.cos(c)];
  return [x, y, z];
}

// The stack with a groove's height changed, added or (undefined) taken out. The lowest is always 0;
// a single groove is no stack and needs no list.
export function stacked(levels: Written[], index: number, height: Written | undefined): Written[] | undefined {
  const out: Written[] = levels.length > 0 ? [...levels] : [0];
  if (height === undefined) out.splice(index, 1);
  else out[index] = height;
  return out.length > 1 ? out : undefined;
}

export function benderLook(document: Record<string, unknown>, writing: Writing): BenderLook {
  const mm = (value: Written | undefined): number | null => {
    if (value === undefined || value === "") return null;
    const read = writtenMm(value, writing);
    return read.ok ? read.value : null;
  };
  const three = (value: Three | undefined): [number, number, number] | null => {
    const read = (value ?? []).map(mm);
    return read.length === 3 && read.every((v) => v !== null) ? (read as [number, number, number]) : null;
  };
  const number = (value: unknown): number => Number.parseFloat(String(value ?? 0)) || 0;

  const radius = mm(document["die_radius_max"] as Written | undefined) ?? 100;
  const tubeY = document["direction"] === "clockwise" ? radius : -radius;
  const back = -(mm(document["mandrel_rod"] as Written | undefined) ?? 1500);
  const origin: Record<string, Point> = { clamp: [0, tubeY], "pressure-die": [0, tubeY], carriage: [back, tubeY] };

  const solid = (body: BodyDocument): Solid | null => {
    const size = three(body.box);
    if (size) {
      const [x, y, z] = size.map((s) => s / 2) as [number, number, number];
      return [-x, x].flatMap((i) => [-y, y].flatMap((j) => [-z, z].map((k): [number, number, number] => [i, j, k])));
    }
    const [across, along] = [mm(body.cylinder?.diameter), mm(body.cylinder?.length)];
    if (across !== null && along !== null) {
      return Array.from({ length: 32 }, (_, i) => (i * Math.PI) / 16).flatMap((a) =>
        [-along / 2, along / 2].map((z): [number, number, number] => [(across / 2) * Math.cos(a), (across / 2) * Math.sin(a), z]),
      );
    }
    const corners = (body.outline ?? []).map(([x, y]) => [mm(x), mm(y)]);
    const height = mm(body.height);
    if (corners.length >= 3 && height !== null && corners.every(([x, y]) => x !== null && y !== null)) {
      return [0, height].flatMap((z) => corners.map(([x, y]): [number, number, number] => [x!, y!, z]));
    }
    return null;
  };

  const bodies: BodyLook[] = [];
  const unseen: string[] = [];
  ((document["body"] as BodyDocument[] | undefined) ?? []).forEach((body, index) => {
    const points = solid(body);
    const at = body.at === undefined ? ([0, 0, 0] as const) : three(body.at);
    if (!points || !at) {
      unseen.push(body.name || String(index + 1));
      return;
    }
    const turn = [0, 1, 2].map((i) => number(body.turned?.[i]));
    const from = origin[body.on ?? "frame"] ?? [0, 0];
    const placed = points.map((p) => {
      const q = turnedBy(p, turn);
      return [q[0] + at[0] + from[0], q[1] + at[1] + from[1], q[2] + at[2]] as const;
    });
    const flat = body.outline !== undefined && turn[0] === 0 && turn[1] === 0;
    const above = placed.map(([x, y]): Point => [x, y]);
    bodies.push({
      number: index + 1,
      name: body.name ?? "",
      on: body.on ?? "frame",
      keepOut: body.keep_out === true,
      above: flat ? above.slice(0, above.length / 2) : convex(above),
      beside: convex(placed.map(([x, , z]): Point => [x, z])),
    });
  });

  const written = Array.isArray(document["levels"]) ? (document["levels"] as Written[]) : [0];
  const levels = written.map(mm).filter((z): z is number => z !== null);

  const room = (document["room"] as RoomDocument | undefined) ?? {};
  const floor = mm(room.floor);
  const ceiling = mm(room.ceiling);
  const frame = (points: Point[]): Frame => {
    const xs = [-radius, radius, ...points.map((p) => p[0])];
    const ys = [-radius, radius, ...points.map((p) => p[1])];
    return { left: Math.min(...xs), right: Math.max(...xs), low: Math.min(...ys), high: Math.max(...ys) };
  };
  const walls = (room.wall ?? []).flatMap((wall) => {
    const distance = mm(wall.distance);
    if (distance === null) return [];
    const a = (number(wall.direction) * Math.PI) / 180;
    const [nx, ny] = [Math.cos(a), Math.sin(a)];
    const end = (s: number): Point => [nx * distance - ny * s, ny * distance + nx * s];
    return [{ name: wall.name ?? "", from: end(-600), to: end(600) }];
  });
  return {
    bodies,
    unseen,
    walls,
    floor: floor === null ? null : -floor,
    ceiling,
    die: { radius, tubeY },
    levels,
    above: frame([...bodies.flatMap((b) => b.above), ...walls.flatMap((w) => [w.from, w.to])]),
    beside: frame([
      ...bodies.flatMap((b) => b.beside),
      ...levels.map((z): Point => [0, z]),
      ...(floor === null ? [] : [[0, -floor] as const]),
      ...(ceiling === null ? [] : [[0, ceiling] as const]),
    ]),
  };
}
