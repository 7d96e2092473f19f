// Whether a run still is what the plan says: a run goes on as it was begun, and says so.
import type { PlanAnswer } from "./answers";
import type { RunDocument, RunPlan } from "./run";

export const kChanges = ["order", "bends", "dies", "marks", "planes", "angles", "cut", "bender"] as const;
export type Changed = (typeof kChanges)[number];

const apart = (a: number | null, b: number | null, most: number): boolean =>
  a === null || b === null ? a !== b : Math.abs(a - b) > most;

// Set angles are left out: they change with every reading, and the bench corrects them itself.
export function changesSince(run: RunDocument, begun: RunPlan, now: PlanAnswer): Changed[] {
  const changes: Changed[] = [];
  const old = begun.steps;
  const made = now.steps;
  const bends = (steps: readonly { bend: number }[]): string => steps.map((one) => one.bend).join();
  if (old.length !== made.length) changes.push("bends");
  else {
    const other = (differ: (a: (typeof old)[number], b: (typeof made)[number]) => boolean): boolean => {
      const same = new Map(made.map((step) => [step.bend, step]));
      return old.some((step) => same.has(step.bend) && differ(step, same.get(step.bend)!));
    };
    if (bends(old) !== bends(made) || other((a, b) => a.bend_lies !== b.bend_lies)) changes.push("order");
    if (other((a, b) => a.die !== b.die)) changes.push("dies");
    if (other((a, b) => apart(a.mark_mm, b.mark_mm, 0.05))) changes.push("marks");
    if (bends(old) === bends(made) && other((a, b) => apart(a.rotation_deg, b.rotation_deg, 0.05))) {
      changes.push("planes");
    }
    if (other((a, b) => apart(a.angle_deg, b.angle_deg, 0.05))) changes.push("angles");
  }
  if (apart(begun.cut_length_mm, now.blank?.cut_length_mm ?? null, 0.05)) changes.push("cut");
  if ((run.bender ?? null) !== now.bender) changes.push("bender");
  return changes;
}
