// A film of a plan's steps as the service gives it, and how it looks at any moment in between.

import { add, cross, dot, minus, norm, radians, squareTo, times, unit, type Vec } from "./space";

export type Matrix = readonly number[]; // 16 numbers, column by column
export type FilmPiece =
  | { straight: { a: Vec; b: Vec } }
  | { arc: { centre: Vec; start: Vec; normal: Vec; angle_deg: number } }; // right-hand about normal

export interface FilmMoment {
  stage: string;
  share: number; // of the stage, 0..1
  angle_deg: number; // of the die
  tube: readonly FilmPiece[];
  bodies: readonly Matrix[];
  die: Matrix;
}
export interface FilmNearest {
  low_mm: number;
  high_mm: number;
  body: string;
  stage: string;
  share?: number;
  along_mm: number;
  on_tube_mm: Vec;
  on_body_mm: Vec;
  hit: boolean;
}
export interface FilmStep {
  bend: number;
  nearest: FilmNearest | null;
  moments: readonly FilmMoment[];
}
export interface FilmShape {
  box?: { size_mm: Vec };
  cylinder?: { radius_mm: number; length_mm: number };
  outline?: { points_mm: readonly (readonly [number, number])[]; height_mm: number };
  mesh?: { points_mm: readonly Vec[]; triangles: readonly (readonly [number, number, number])[] };
}
export interface FilmBody {
  name: string;
  on: string;
  keep_out: boolean;
  shape: FilmShape;
}
export interface FilmDie {
  radius_mm: number;
  height_mm: number;
}
export interface FilmRoom {
  floor_mm: number | null; // below the plane of the lowest die
  ceiling_mm: number | null;
  walls: readonly { name: string; direction_deg: number; distance_mm: number }[];
}
export interface Film {
  bodies: readonly FilmBody[];
  die: FilmDie;
  tube: { od_mm: number };
  room: FilmRoom;
  steps: readonly FilmStep[];
}

// One moment on the film's own clock.
interface Tick {
  at_s: number;
  step: number;
  moment: number;
}

// How long a whole stage takes on the screen. What is worth watching takes its time.
const kSeconds: Record<string, number> = {
  load: 0.7,
  advance: 0.8,
  turn: 1.2,
  seat: 0.4,
  clamp: 0.5,
  bend: 2.4,
  release: 0.6,
  unclamp: 0.4,
  "draw off": 0.5,
  lift: 0.6,
  return: 0.8,
};

export interface Timeline {
  ticks: readonly Tick[];
  length_s: number;
  step_starts_s: readonly number[];
}

export function timelineOf(film: Film): Timeline {
  const ticks: Tick[] = [];
  const step_starts_s: number[] = [];
  let stage_start_s = 0;
  film.steps.forEach((step, index) => {
    step_starts_s.push(stage_start_s);
    let stage: string | null = null;
    let stage_s = 0;
    step.moments.forEach((moment, number) => {
      if (moment.stage !== stage) {
        stage_start_s += stage_s;
        stage = moment.stage;
        stage_s = kSeconds[stage] ?? 0.6;
      }
      ticks.push({ at_s: stage_start_s + moment.share * stage_s, step: index, moment: number });
    });
    stage_start_s += stage_s;
  });
  return { ticks, length_s: stage_start_s, step_starts_s };
}

export interface Pose {
  step: number;
  stage: string;
  angle_deg: number;
  tube: readonly FilmPiece[];
  bodies: readonly Matrix[];
  die: Matrix;
}

const mix = (a: number, b: number, share: number): number => a + (b - a) * share;
const mixed = (a: Vec, b: Vec, share: number): Vec => add(a, times(minus(b, a), share));
const mixedMatrix = (a: Matrix, b: Matrix, share: number): Matrix =>
  a.map((value, index) => mix(value, b[index] ?? value, share));

function mixedPiece(a: FilmPiece, b: FilmPiece, share: number): FilmPiece | null {
  if ("straight" in a && "straight" in b) {
    return {
      straight: {
        a: mixed(a.straight.a, b.straight.a, share),
        b: mixed(a.straight.b, b.straight.b, share),
      },
    };
  }
  if ("arc" in a && "arc" in b) {
    return {
      arc: {
        centre: mixed(a.arc.centre, b.arc.centre, share),
        start: mixed(a.arc.start, b.arc.start, share),
        normal: unit(mixed(a.arc.normal, b.arc.normal, share)),
        angle_deg: mix(a.arc.angle_deg, b.arc.angle_deg, share),
      },
    };
  }
  return null;
}

// The last tick at or before a time.
function tickAt(ticks: readonly Tick[], at_s: number): number {
  let low = 0;
  let high = ticks.length - 1;
  while (low < high) {
    const half = (low + high + 1) >> 1;
    if (ticks[half]!.at_s <= at_s) low = half;
    else high = half - 1;
  }
  return low;
}

// Between two moments of one stage everything goes straight from one place to the next; they are
// two degrees apart at most, so that a straight way is off by less than a sixth of a thousandth of
// the radius. Where the pieces differ (a bend begins) the earlier moment stands.
export function poseAt(film: Film, timeline: Timeline, at_s: number): Pose | null {
  const { ticks } = timeline;
  if (ticks.length === 0) return null;
  const index = tickAt(ticks, at_s);
  const tick = ticks[index]!;
  const next = ticks[index + 1];
  const a = film.steps[tick.step]!.moments[tick.moment]!;
  const whole = { step: tick.step, stage: a.stage, angle_deg: a.angle_deg };
  const still: Pose = { ...whole, tube: a.tube, bodies: a.bodies, die: a.die };
  if (!next || next.step !== tick.step) return still;
  const b = film.steps[next.step]!.moments[next.moment]!;
  if (b.stage !== a.stage || b.tube.length !== a.tube.length) return still;
  const span_s = next.at_s - tick.at_s;
  const share = span_s > 0 ? Math.max(0, Math.min(1, (at_s - tick.at_s) / span_s)) : 0;
  const tube = a.tube.map((piece, number) => mixedPiece(piece, b.tube[number]!, share));
  if (tube.some((piece) => piece === null)) return still;
  return {
    ...whole,
    angle_deg: mix(a.angle_deg, b.angle_deg, share),
    tube: tube as FilmPiece[],
    bodies: a.bodies.map((body, number) => mixedMatrix(body, b.bodies[number]!, share)),
    die: mixedMatrix(a.die, b.die, share),
  };
}

export interface RopeStation {
  at: Vec;
  ahead: Vec;
  u: Vec;
}

// Turns v about a unit axis, right-hand positive (Rodrigues).
export function turned(v: Vec, axis: Vec, angle_rad: number): Vec {
  const c = Math.cos(angle_rad);
  const s = Math.sin(angle_rad);
  const out = add(times(v, c), times(cross(axis, v), s));
  return add(out, times(axis, dot(axis, v) * (1 - c)));
}

// The tube's middle line with a direction across it that does not twist.
export function ropeOf(pieces: readonly FilmPiece[], finest_rad = radians(6)): RopeStation[] {
  const stations: RopeStation[] = [];
  let u: Vec | null = null;
  const across = (ahead: Vec): Vec => {
    if (u === null) return squareTo(ahead);
    const flat = minus(u, times(ahead, dot(u, ahead)));
    return norm(flat) > 1e-6 ? unit(flat) : squareTo(ahead);
  };
  const put = (at: Vec, ahead: Vec): void => {
    u = across(ahead);
    stations.push({ at, ahead, u });
  };
  for (const piece of pieces) {
    if ("straight" in piece) {
      const { a, b } = piece.straight;
      const way = minus(b, a);
      if (norm(way) < 1e-6) continue;
      const ahead = unit(way);
      put(a, ahead);
      put(b, ahead);
    } else {
      const { centre, start, normal, angle_deg } = piece.arc;
      const spoke = minus(start, centre);
      const total = radians(angle_deg);
      const parts = Math.max(1, Math.ceil(Math.abs(total) / finest_rad - 1e-9));
      const sign = Math.sign(angle_deg) || 1;
      for (let k = 0; k <= parts; ++k) {
        const r = turned(spoke, normal, (total * k) / parts);
        put(add(centre, r), times(unit(cross(normal, r)), sign));
      }
    }
  }
  return stations;
}

// Where a step comes nearest, on the film's clock; null when that is not known.
export function nearestTime(film: Film, timeline: Timeline, step: number): number | null {
  const nearest = film.steps[step]?.nearest;
  if (!nearest) return null;
  let best: number | null = null;
  let least = Infinity;
  for (const tick of timeline.ticks) {
    if (tick.step !== step) continue;
    const moment = film.steps[step]!.moments[tick.moment]!;
    if (moment.stage !== nearest.stage) continue;
    const off = Math.abs(moment.share - (nearest.share ?? 1));
    if (off < least) {
      least = off;
      best = tick.at_s;
    }
  }
  return best;
}

