// What is written round the picture of a part: ends, bend numbers, dimensions, on the screen.

import { bendAt, crown, numBends, type Line, type Station } from "./line";
import { Room, type Point } from "./places";
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
}

export interface MarkOptions {
  end_a: string; // "end A"
  end_b: string;
  half_mm: number; // of the section
  letter_px: number; // height of a line of text
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
  const { half_mm, letter_px } = options;
  keepTubeClear(room, stations, see, half_mm);
  const marks: Mark[] = [];
  const put = (
    kind: Mark["kind"],
    bend: number,
    text: string,
    at: Vec,
    outward: Vec,
    half_width: number,
    half_height: number,
  ): void => {
    const seen = see(at);
    const half_px = half_mm * seen.px_per_mm;
    const target = { x: seen.x_px, y: seen.y_px };
    const direction = screenDirection(see, at, outward, half_mm);
    const nearest = half_px + half_height + letter_px * 0.7;
    const placed = room.place({
      target,
      direction,
      half_width,
      half_height,
      nearest,
      farthest: nearest + letter_px * 6,
    });
    marks.push({ kind, bend, text, at: placed, target, half_width, half_height });
  };
  const start = line.segments[0]!.start;
  const tall = letter_px * 0.95;
  const wide = (text: string): number => textWidth(text, letter_px) / 2 + 4;
  put("end-a", 0, options.end_a, start.at, times(start.ahead, -1), wide(options.end_a), tall);
  put("end-b", 0, options.end_b, line.end.at, line.end.ahead, wide(options.end_b), tall);
  for (let bend = 0; bend < numBends(line); ++bend) {
    const { at, outward } = crown(bendAt(line, bend));
    const text = String(bend + 1);
    const size = Math.max(letter_px * 0.95, textWidth(text, letter_px) / 2);
    put("bend", bend + 1, text, at, outward, size, size);
  }
  const drawn: SizeMark[] = [];
  for (const size of sizes) {
    const mark = sizeMark(size, see, room, options);
    if (mark) drawn.push(mark);
  }
  return { marks, sizes: drawn };
}
