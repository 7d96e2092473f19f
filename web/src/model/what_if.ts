// What the what-if panel can compare: without a die set there is neither cut length nor set angle.
import type { PlanAnswer, ToolingLine } from "./answers";
import type { Word } from "./words";

export type Planned = Pick<PlanAnswer, "steps"> & { part: { bend_table: readonly unknown[] } };

export const withoutDie = (plan: Planned): boolean => plan.steps.length === 0 && plan.part.bend_table.length > 0;

// Why there is nothing to compare and what to do; null where there is something.
export function whyNothing(now: Planned, then: Planned | undefined, tooling: readonly ToolingLine[]): Word | null {
  if (!withoutDie(now) && !(then && withoutDie(then))) return null;
  if (tooling.length === 0) return "whatif.no_dies";
  if (!then) return "whatif.none_now";
  return withoutDie(then) ? (withoutDie(now) ? "whatif.none_still" : "whatif.none_then") : null;
}

// The bends whose set angles are compared: those of either side, the first few.
export function comparedBends(now: Pick<PlanAnswer, "steps">, then: Pick<PlanAnswer, "steps"> | undefined, most = 8): number[] {
  const steps = now.steps.length > 0 ? now.steps : (then?.steps ?? []);
  return steps.slice(0, most).map((step) => step.bend);
}
