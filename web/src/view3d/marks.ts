// What is written round the picture of a part: ends, bend numbers, dimensions, on the screen.

import { bendAt, crown, numBends, type Line, type Station } from "./line";
import { Room, type Point, type Wish } from "./places";
import type { Projection, Screen } from "./eye";
import type { Size } from "./sizes";
import { add, along, times, type Vec } from "./space";

export interface Mark {
  kind: "end-a" | "end-b" | "bend";
  bend: number; // 1-based; 0 for an end
  text: string;
  at: Point;
  target: Point;
  half_width: number;
  half_height: number;
}

export interface SizeMark {
  leg: number;
  text: string;
  from: Point;
  to: Point;
  foot_from: Point; // on the tube
  foot_to: Point;
  at: Point; // middle of the text
  half_width: number;
}

export interface Marks {
  marks: Mark[];
  sizes: SizeMark[];
  bare: { bend: number; target: Point }[]; // bends in sight whose number found no room: dots alone
}

export interface MarkOptions {
  end_a: string; // "end A"
  end_b: string;
  half_mm: number; // of the section
  letter_px: number; // height of a line of text
  chosen?: number | null; // a bend, from 0: it has its number whatever else is in the way
  size_text: (size: Size) => string;
}

// Wide enough for a text of the system's plain face.
export const textWidth = (text: string, letter_px: number): number =>
  text.length * letter_px * 0.56 + 6;

function screenDirection(see: Projection, from: Vec, direction: Vec, length_mm: number): Point {
  const a = see(from);
  const b = see(along(from, direction, length_mm));
  return { x: b.x_px - a.x_px, y: b.y_px - a.y_px };
}

function keepTubeClear(room: Room, stations: readonly Station[], see: Projection, half_mm: number) {
  room.keepClear(
    stations.map((station) => {
      const seen = see(station.at);
      return { x: seen.x_px, y: seen.y_px, half: half_mm * seen.px_per_mm };
    }),
  );
}

function sizeMark(size: Size, see: Projection, room: Room, options: MarkOptions): SizeMark | null {
  const { half_mm, letter_px } = options;
  const start = see(size.from);
  const gap_mm = half_mm + (letter_px * 1.9) / start.px_per_mm;
  const lifted = (p: Vec): Vec => add(p, times(size.aside, gap_mm));
  const a = see(lifted(size.from));
  const b = see(lifted(size.to));
  const length_px = Math.hypot(b.x_px - a.x_px, b.y_px - a.y_px);
  // Seen end on there is nothing to read; nor is there where the line is shorter than its text.
  const far = see(size.to);
  const true_px = Math.abs(size.value_mm) * Math.min(start.px_per_mm, far.px_per_mm);
  if (length_px < letter_px * 1.5 || length_px < 0.2 * true_px) return null;
  const text = options.size_text(size);
  const half_width = textWidth(text, letter_px) / 2;
  const foot_from = see(size.from);
  const foot_to = see(size.to);
  const middle = { x: (a.x_px + b.x_px) / 2, y: (a.y_px + b.y_px) / 2 };
  const foot = { x: (foot_from.x_px + foot_to.x_px) / 2, y: (foot_from.y_px + foot_to.y_px) / 2 };
  // One without room would cover others: it is left out, and the list below the picture has it.
  const at = room.find({
    target: middle,
    direction: { x: middle.x - foot.x, y: middle.y - foot.y },
    half_width,
    half_height: letter_px * 0.7,
    nearest: 0,
    farthest: letter_px * 5,
  });
  if (!at) return null;
  return {
    leg: size.leg,
    text,
    from: { x: a.x_px, y: a.y_px },
    to: { x: b.x_px, y: b.y_px },
    foot_from: { x: foot_from.x_px, y: foot_from.y_px },
    foot_to: { x: foot_to.x_px, y: foot_to.y_px },
    at,
    half_width,
  };
}

// Which bends get room first: the chosen one, both ends of the part, round numbers, then the rest, so
// that those left in a crowd are spread over the part and easy to count between.
export function bendsByRank(count: number, chosen: number | null | undefined): number[] {
  const rank = (bend: number): number => {
    if (bend === chosen) return 0;
    if (bend === 0 || bend === count - 1) return 1;
    return (bend + 1) % 10 === 0 ? 2 : (bend + 1) % 5 === 0 ? 3 : (bend + 1) % 2 === 0 ? 4 : 5;
  };
  return Array.from({ length: count }, (_, bend) => bend).sort((a, b) => rank(a) - rank(b) || a - b);
}

// Ends first, then bend numbers, then dimensions: each keeps clear of those before.
export function marksOf(
  line: Line,
  stations: readonly Station[],
  sizes: readonly Size[],
  see: Projection,
  screen: Screen,
  options: MarkOptions,
): Marks {
  const room = new Room(screen.width_px, screen.height_px);
  keepTubeClear(room, stations, see, options.half_mm);
  const out: Marks = { marks: endMarks(line, see, room, options), sizes: [], bare: [] };
  placeBends(line, see, screen, room, options, out);
  for (const size of sizes) {
    const mark = sizeMark(size, see, room, options);
    if (mark) out.sizes.push(mark);
  }
  return out;
}

interface Named {
  at: Vec;
  outward: Vec;
  half_width: number;
  half_height: number;
}

function wishFor(named: Named, see: Projection, { half_mm, letter_px }: MarkOptions): Wish {
  const seen = see(named.at);
  const nearest = half_mm * seen.px_per_mm + named.half_height + letter_px * 0.7;
  return {
    target: { x: seen.x_px, y: seen.y_px },
    direction: screenDirection(see, named.at, named.outward, half_mm),
    half_width: named.half_width,
    half_height: named.half_height,
    nearest,
    farthest: nearest + letter_px * 6,
  };
}

function endMarks(line: Line, see: Projection, room: Room, options: MarkOptions): Mark[] {
  const { letter_px } = options;
  const start = line.segments[0]!.start;
  const end = (kind: "end-a" | "end-b", text: string, at: Vec, outward: Vec): Mark => {
    const half_width = textWidth(text, letter_px) / 2 + 4;
    const half_height = letter_px * 0.95;
    const wish = wishFor({ at, outward, half_width, half_height }, see, options);
    return { kind, bend: 0, text, at: room.place(wish), target: wish.target, half_width, half_height };
  };
  return [
    end("end-a", options.end_a, start.at, times(start.ahead, -1)),
    end("end-b", options.end_b, line.end.at, line.end.ahead),
  ];
}

// Discs in each other's way are pushed farther out, on leaders; one that finds no room there either
// would cover others and is left a dot, until the eye comes nearer or the bend is chosen.
function placeBends(line: Line, see: Projection, screen: Screen, room: Room, options: MarkOptions, out: Marks): void {
  const { letter_px, chosen } = options;
  for (const bend of bendsByRank(numBends(line), chosen)) {
    const text = String(bend + 1);
    const size = Math.max(letter_px * 0.95, textWidth(text, letter_px) / 2);
    const wish = wishFor({ ...crown(bendAt(line, bend)), half_width: size, half_height: size }, see, options);
    const { target, farthest } = wish;
    const seen = target.x >= 0 && target.y >= 0 && target.x <= screen.width_px && target.y <= screen.height_px;
    if (!seen && bend !== chosen) continue;
    const at =
      room.find(wish) ??
      room.find({ ...wish, nearest: farthest, farthest: farthest + letter_px * 5 }) ??
      (bend === chosen ? room.place(wish) : null);
    if (at) out.marks.push({ kind: "bend", bend: bend + 1, text, at, target, half_width: size, half_height: size });
    else out.bare.push({ bend: bend + 1, target });
  }
  out.marks.sort((a, b) => a.bend - b.bend);
}

// The bend whose number, or else whose dot, lies nearest to where the picture was touched.
export function bendNear(marks: Marks, x: number, y: number, within_px = 24): number | null {
  let best: { bend: number; far: number } | null = null;
  const look = (bend: number, at: Point): void => {
    const far = Math.hypot(at.x - x, at.y - y);
    if (far < within_px && (best === null || far < best.far)) best = { bend, far };
  };
  for (const mark of marks.marks) if (mark.bend > 0) look(mark.bend, mark.at);
  if (best === null) for (const one of marks.bare) look(one.bend, one.target);
  return (best as { bend: number } | null)?.bend ?? null;
}
