// The next set angle at the bench: asked of the service, worked out here while it is away.

import type { Law, PlanAnswer } from "../../model/answers";
import type { Hit, RunState, RunStep } from "../../model/run";

export interface Advice {
  set_deg: number | null; // null: do not hit again
  why: "plan" | "first-hit" | "next-hit" | "earlier-piece" | "line" | "enough" | "over";
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
  const earlier = fromEarlier(state, index, step.angle_deg, law);
  if (earlier) return { set_deg: earlier.set_deg, why: "earlier-piece", ...none };
  return { set_deg: step.set_angle_deg, why: "plan", ...none };
}

// To a tenth of a degree, without a tail of digits.
export const toStep = (angle_deg: number): number => Math.round(angle_deg * 10) / 10;
