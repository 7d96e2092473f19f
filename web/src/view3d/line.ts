// The centreline laid out from a bend table: straights and arcs, corners, samples.

import {
  add,
  advanced,
  along,
  cross,
  dot,
  kStart,
  minus,
  norm,
  radians,
  rolled,
  squareTo,
  swept,
  times,
  unit,
  type Frame,
  type Vec,
} from "./space";

export interface BendRow {
  straight_mm: number;
  rotation_deg: number;
  angle_deg: number;
  radius_mm: number;
}

export interface BendTable {
  bend_table: readonly BendRow[];
  last_straight_mm: number;
}

// A straight has radius 0 and angle 0; a negative length is an overlap of its neighbours.
export interface Segment {
  start: Frame;
  length_mm: number;
  radius_mm: number;
  angle_rad: number;
}

export interface Line {
  segments: Segment[]; // straight, arc, straight, … last straight
  end: Frame;
}

export function layOut(table: BendTable, start: Frame = kStart): Line {
  const segments: Segment[] = [];
  let frame = start;
  for (const row of table.bend_table) {
    segments.push({ start: frame, length_mm: row.straight_mm, radius_mm: 0, angle_rad: 0 });
    frame = rolled(advanced(frame, row.straight_mm), radians(row.rotation_deg));
    const angle_rad = radians(row.angle_deg);
    segments.push({
      start: frame,
      length_mm: row.radius_mm * angle_rad,
      radius_mm: row.radius_mm,
      angle_rad,
    });
    frame = swept(frame, row.radius_mm, angle_rad);
  }
  segments.push({ start: frame, length_mm: table.last_straight_mm, radius_mm: 0, angle_rad: 0 });
  return { segments, end: advanced(frame, table.last_straight_mm) };
}

export function frameAt(segment: Segment, along_mm: number): Frame {
  if (segment.radius_mm === 0) return advanced(segment.start, along_mm);
  return swept(segment.start, segment.radius_mm, along_mm / segment.radius_mm);
}

export const bendAt = (line: Line, index: number): Segment => line.segments[2 * index + 1]!;
export const straightAt = (line: Line, index: number): Segment => line.segments[2 * index]!;
export const numBends = (line: Line): number => (line.segments.length - 1) / 2;

export function lengthOf(line: Line): number {
  return line.segments.reduce((sum, segment) => sum + segment.length_mm, 0);
}

// Frame at a distance from end A along the centreline, held within the ends.
export function frameAlong(line: Line, along_mm: number): Frame {
  let left_mm = Math.max(0, along_mm);
  for (const segment of line.segments) {
    if (left_mm <= segment.length_mm) return frameAt(segment, left_mm);
    left_mm -= Math.max(0, segment.length_mm);
  }
  return line.end;
}

// A bend beyond this has its corner too far off to be of use.
export const kCornerBelow_rad = radians(150);

// Where the two straights of a bend would meet; its middle point when it turns too far for that.
export function cornerOf(bend: Segment): Vec {
  if (bend.angle_rad > kCornerBelow_rad) return frameAt(bend, bend.length_mm / 2).at;
  const setback_mm = bend.radius_mm * Math.tan(bend.angle_rad / 2);
  return along(bend.start.at, bend.start.ahead, setback_mm);
}

// The middle of a bend's arc and the direction from there away from its centre.
export function crown(bend: Segment): { at: Vec; outward: Vec } {
  const frame = frameAt(bend, bend.length_mm / 2);
  return { at: frame.at, outward: times(frame.inward, -1) };
}

// The frame at end A of a part given by its corner points: ahead towards the next corner, inward
// to where the first bend turns. A straight part has no plane: any inward will do.
export function startOfCorners(corners: readonly Vec[]): Frame {
  const first = corners[0];
  const second = corners[1];
  if (!first || !second) return kStart;
  const ahead = unit(minus(second, first));
  if (norm(ahead) === 0) return kStart;
  for (let i = 2; i < corners.length; ++i) {
    const leg = minus(corners[i]!, corners[i - 1]!);
    const side = minus(leg, times(ahead, dot(leg, ahead)));
    if (norm(side) > 1e-6 * norm(leg) && norm(leg) > 0) {
      return { at: first, ahead, inward: unit(side) };
    }
  }
  return { at: first, ahead, inward: squareTo(ahead) };
}

// How far the bend planes have rolled up to each segment: what the metal has not followed.
export function rollsOf(line: Line): number[] {
  let roll_rad = 0;
  return line.segments.map((segment, index) => {
    const before = line.segments[index - 1];
    if (segment.radius_mm > 0 && before && index > 1) {
      const { inward } = before.start;
      const side = cross(before.start.ahead, inward);
      roll_rad += Math.atan2(dot(segment.start.inward, side), dot(segment.start.inward, inward));
    }
    return roll_rad;
  });
}

// The direction of the section's height at a segment's start.
export const heightAt = (segment: Segment, roll_rad: number): Vec =>
  rolled(segment.start, -roll_rad).inward;

// A place on the tube with the directions of its section's height (u) and width (v). The section
// keeps its place on the metal: the bend plane rolls from bend to bend, the metal does not.
export interface Station {
  at: Vec;
  ahead: Vec;
  u: Vec;
  v: Vec;
  along_mm: number;
  bend: number | null; // 0-based; null on a straight
}

// Stations at both ends of every straight and at most `finest_rad` apart on arcs.
export function stationsOf(line: Line, finest_rad: number): Station[] {
  const stations: Station[] = [];
  const rolls = rollsOf(line);
  let along_mm = 0;
  const put = (frame: Frame, roll_rad: number, at_mm: number, bend: number | null): void => {
    const metal = rolled(frame, -roll_rad);
    stations.push({
      at: frame.at,
      ahead: frame.ahead,
      u: metal.inward,
      v: cross(metal.ahead, metal.inward),
      along_mm: at_mm,
      bend,
    });
  };
  line.segments.forEach((segment, index) => {
    const arc = segment.radius_mm > 0;
    const parts = arc ? Math.max(2, Math.ceil(segment.angle_rad / finest_rad - 1e-9)) : 1;
    for (let i = index > 0 ? 1 : 0; i <= parts; ++i) {
      const at_mm = (segment.length_mm * i) / parts;
      const bend = arc ? (index - 1) / 2 : null;
      put(frameAt(segment, at_mm), rolls[index]!, along_mm + at_mm, bend);
    }
    along_mm += segment.length_mm;
  });
  return stations;
}

export interface Span {
  low: Vec;
  high: Vec;
}

// A box that holds the tube: stations grown by half the section's largest size.
export function spanOf(stations: readonly Station[], half_mm: number): Span {
  const low: [number, number, number] = [Infinity, Infinity, Infinity];
  const high: [number, number, number] = [-Infinity, -Infinity, -Infinity];
  for (const station of stations) {
    for (const axis of [0, 1, 2] as const) {
      const reach = half_mm * Math.sqrt(Math.max(0, 1 - station.ahead[axis] ** 2));
      low[axis] = Math.min(low[axis], station.at[axis] - reach);
      high[axis] = Math.max(high[axis], station.at[axis] + reach);
    }
  }
  return { low, high };
}

export const centreOf = (span: Span): Vec => times(add(span.low, span.high), 0.5);
export const sizeOf = (span: Span): number => norm(minus(span.high, span.low));
