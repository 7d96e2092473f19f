// The skin of a tube as triangles: outside, bore and the rims between them.

import { add, times, type Vec } from "./space";
import type { Station } from "./line";

export interface Section {
  round: boolean;
  hollow: boolean;
  height_mm: number; // in the plane of the first bend
  width_mm: number; // across it
  wall_mm: number | null;
  corner_radius_mm: number;
}

export interface Skin {
  positions: Float32Array;
  normals: Float32Array;
  indices: Uint32Array;
}

export const halfSize = (section: Section): number =>
  Math.max(section.height_mm, section.width_mm) / 2;

// One point of a section's outline: (height, width) offsets and the outward direction.
interface RimPoint {
  h: number;
  w: number;
  nh: number;
  nw: number;
}

const kRoundParts = 40;
const kCornerParts = 5;

// The outline, counter-clockwise seen against the direction of travel, closed by its first point.
// `inset_mm` moves it inwards: the bore.
export function outline(section: Section, inset_mm = 0): RimPoint[] {
  const half_h = section.height_mm / 2 - inset_mm;
  const half_w = section.width_mm / 2 - inset_mm;
  const points: RimPoint[] = [];
  if (section.round) {
    for (let k = 0; k < kRoundParts; ++k) {
      const a = (2 * Math.PI * k) / kRoundParts;
      const nh = Math.cos(a);
      const nw = Math.sin(a);
      points.push({ h: half_h * nh, w: half_w * nw, nh, nw });
    }
    return points;
  }
  const corner = Math.min(Math.max(section.corner_radius_mm - inset_mm, 0), half_h, half_w);
  for (let quarter = 0; quarter < 4; ++quarter) {
    const sh = quarter === 0 || quarter === 3 ? 1 : -1;
    const sw = quarter < 2 ? 1 : -1;
    for (let k = 0; k <= kCornerParts; ++k) {
      const a = ((quarter + k / kCornerParts) * Math.PI) / 2;
      const nh = Math.cos(a);
      const nw = Math.sin(a);
      points.push({
        h: sh * (half_h - corner) + corner * nh,
        w: sw * (half_w - corner) + corner * nw,
        nh,
        nw,
      });
    }
  }
  return points;
}

class Mesh {
  private readonly positions: number[] = [];
  private readonly normals: number[] = [];
  private readonly indices: number[] = [];

  point(at: Vec, normal: Vec): number {
    this.positions.push(...at);
    this.normals.push(...normal);
    return this.positions.length / 3 - 1;
  }

  triangle(a: number, b: number, c: number): void {
    this.indices.push(a, b, c);
  }

  // Ring after ring of equal outlines, joined; `side` 1: seen from outside, -1: a bore.
  sleeve(stations: readonly Station[], rim: readonly RimPoint[], side: 1 | -1): void {
    const first = this.positions.length / 3;
    for (const station of stations) {
      for (const p of rim) {
        const at = add(station.at, add(times(station.u, p.h), times(station.v, p.w)));
        this.point(at, times(add(times(station.u, p.nh), times(station.v, p.nw)), side));
      }
    }
    const n = rim.length;
    for (let i = 0; i + 1 < stations.length; ++i) {
      for (let k = 0; k < n; ++k) {
        const a = first + i * n + k;
        const b = first + i * n + ((k + 1) % n);
        if (side === 1) {
          this.triangle(a, b, a + n);
          this.triangle(b, b + n, a + n);
        } else {
          this.triangle(a, a + n, b);
          this.triangle(b, a + n, b + n);
        }
      }
    }
  }

  // The flat face of an end: a ring for a hollow section, a disc for a bar.
  face(
    station: Station,
    outer: readonly RimPoint[],
    inner: readonly RimPoint[] | null,
    towards: 1 | -1,
  ): void {
    const normal = times(station.ahead, towards);
    const place = (p: RimPoint): number =>
      this.point(add(station.at, add(times(station.u, p.h), times(station.v, p.w))), normal);
    const out = outer.map(place);
    const ins = inner ? inner.map(place) : null;
    const centre = ins ? -1 : this.point(station.at, normal);
    const flip = (a: number, b: number, c: number): void =>
      towards === 1 ? this.triangle(a, b, c) : this.triangle(a, c, b);
    for (let k = 0; k < out.length; ++k) {
      const next = (k + 1) % out.length;
      if (ins) {
        flip(out[k]!, out[next]!, ins[k]!);
        flip(out[next]!, ins[next]!, ins[k]!);
      } else {
        flip(out[k]!, out[next]!, centre);
      }
    }
  }

  done(): Skin {
    return {
      positions: new Float32Array(this.positions),
      normals: new Float32Array(this.normals),
      indices: new Uint32Array(this.indices),
    };
  }
}

// A closed surface with outward normals; a wall thick enough to fill the bore makes a bar.
export function skinOf(stations: readonly Station[], section: Section): Skin {
  const mesh = new Mesh();
  const outer = outline(section);
  const wall_mm = section.wall_mm ?? 0;
  const least_mm = Math.min(section.height_mm, section.width_mm);
  const hollow = section.hollow && wall_mm > 0 && 2 * wall_mm < least_mm;
  const inner = hollow ? outline(section, wall_mm) : null;
  const first = stations[0];
  const last = stations.at(-1);
  if (!first || !last || stations.length < 2) return mesh.done();
  mesh.sleeve(stations, outer, 1);
  if (inner) mesh.sleeve(stations, inner, -1);
  mesh.face(first, outer, inner, -1);
  mesh.face(last, outer, inner, 1);
  return mesh.done();
}

// What a closed surface encloses [mm³]: the sum of its triangles' tetrahedra.
export function volumeOf(skin: Skin): number {
  let six = 0;
  const p = (index: number): Vec => [
    skin.positions[3 * index]!,
    skin.positions[3 * index + 1]!,
    skin.positions[3 * index + 2]!,
  ];
  for (let i = 0; i < skin.indices.length; i += 3) {
    const a = p(skin.indices[i]!);
    const b = p(skin.indices[i + 1]!);
    const c = p(skin.indices[i + 2]!);
    six +=
      a[0] * (b[1] * c[2] - b[2] * c[1]) -
      a[1] * (b[0] * c[2] - b[2] * c[0]) +
      a[2] * (b[0] * c[1] - b[1] * c[0]);
  }
  return six / 6;
}
