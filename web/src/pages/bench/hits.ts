// The next set angle at the bench: asked of the service, worked out here while it is away.

import type { Law, PlanAnswer } from "../../model/answers";
import type { Hit, RunState, RunStep } from "../../model/run";

export interface Advice {
  set_deg: number | null; // null: do not hit again
  why: "plan" | "first-hit" | "readings" | "next-hit" | "earlier-piece" | "told" | "line" | "enough" | "over";
  chance_over: number | null; // of overbending
  finished_deg: number | null; // where the bend will most likely finish
}

export const kTolerance_deg = 0.5;

// By the line of the plan: new = last + (wanted - read) / (1 - b). For after a reading.
export function byLine(hit: Hit, wanted_deg: number, law: Pick<Law, "b"> | null): number | null {
  if (hit.read_deg === null) return null;
  const share = 1 - Math.min(0.5, Math.max(0, law?.b ?? 0));
  return hit.set_deg + (wanted_deg - hit.read_deg) / share;
}

export const isEnough = (hit: Hit, wanted_deg: number, tolerance_deg = kTolerance_deg): boolean =>
  hit.read_deg !== null && hit.read_deg >= wanted_deg - tolerance_deg;
export const isOver = (hit: Hit, wanted_deg: number, tolerance_deg = kTolerance_deg): boolean =>
  hit.read_deg !== null && hit.read_deg > wanted_deg + tolerance_deg;

export function lawOf(plan: PlanAnswer, die: string): Law | null {
  return plan.springbacks.find((law) => law.die === die) ?? plan.springback;
}

// The set angle that made this bend right on an earlier piece, brought to the middle by the line.
export function fromEarlier(
  state: RunState,
  step: number,
  wanted_deg: number,
  law: Law | null,
): { set_deg: number; piece: number } | null {
  for (const one of [...state.readings].reverse()) {
    if (one.step !== step || one.piece >= state.piece) continue;
    const last = one.hits.at(-1);
    if (!last) continue;
    if (last.read_deg === null) return { set_deg: last.set_deg, piece: one.piece };
    if (isOver(last, wanted_deg, 2)) continue;
    return { set_deg: byLine(last, wanted_deg, law) ?? last.set_deg, piece: one.piece };
  }
  return null;
}

// Set from some piece on, as the charts advised and the setter pressed; the newest holds.
export function told(state: RunState, step: number): number | null {
  const holds = state.sets.filter((one) => one.step === step && one.from_piece <= state.piece);
  return holds.at(-1)?.set_deg ?? null;
}

// Told already for pieces to come; null: nothing.
export function toldAhead(state: RunState, step: number): number | null {
  const ahead = state.sets.filter((one) => one.step === step && one.from_piece > state.piece);
  return ahead.at(-1)?.set_deg ?? null;
}

// What the last piece that was read had been set to: a chart's advice starts from there.
export function setOfLastRead(state: RunState, step: number): number | null {
  const read = state.readings.filter(
    (one) => one.step === step && one.hits.some((hit) => hit.read_deg !== null),
  );
  return read.at(-1)?.hits.at(-1)?.set_deg ?? null;
}

// What a step is set to at the first hit of the piece being made.
export function setNow(state: RunState, index: number, step: RunStep, law: Law | null): number {
  return (
    told(state, index) ??
    fromEarlier(state, index, step.angle_deg, law)?.set_deg ??
    step.set_angle_deg
  );
}

// What can be said without the service.
export function adviceHere(
  plan: PlanAnswer,
  state: RunState,
  index: number,
  step: RunStep,
): Advice {
  const law = lawOf(plan, step.die);
  const last = state.bends[index]?.hits.at(-1);
  const none = { chance_over: null, finished_deg: null };
  if (last && isOver(last, step.angle_deg)) return { set_deg: null, why: "over", ...none };
  if (last && isEnough(last, step.angle_deg)) return { set_deg: null, why: "enough", ...none };
  if (last) {
    const set_deg = byLine(last, step.angle_deg, law);
    return { set_deg: set_deg ?? step.set_angle_deg, why: "line", ...none };
  }
  const as_told = told(state, index);
  if (as_told !== null) return { set_deg: as_told, why: "told", ...none };
  const earlier = fromEarlier(state, index, step.angle_deg, law);
  if (earlier) return { set_deg: earlier.set_deg, why: "earlier-piece", ...none };
  return { set_deg: step.set_angle_deg, why: "plan", ...none };
}

// To a tenth of a degree, without a tail of digits.
export const toStep = (angle_deg: number): number => Math.round(angle_deg * 10) / 10;

// Why the first hit is set as it is, from how far off the wanted angle it is meant to come out and how
// far its set angle lies from the plan's: short on purpose, the plan's own, or moved by readings.
export function whyFirst(off_deg: number, more_deg: number): Advice["why"] {
  if (off_deg < -0.05) return "first-hit";
  return Math.abs(more_deg) < 0.05 ? "plan" : "readings";
}
