import { describe, expect, it } from "vitest";
import type { PlanAnswer } from "./answers";
import { changesSince } from "./changes";
import type { RunDocument, RunPlan } from "./run";

const steps = [1, 2].map((bend) => ({
  bend,
  die: "25R75",
  mark_mm: 300 * bend,
  mark_from_b_mm: 900 - 300 * bend,
  bend_lies: "towards B" as const,
  arc_mm: 40,
  rotation_deg: bend === 1 ? 0 : 45,
  wheel_deg: 0,
  angle_deg: 30,
  set_angle_deg: 32,
  speed_max_rpm: null,
}));
const run = { bender: "Wagtail" } as RunDocument;
const begun: RunPlan = { name: "rail", part_revision: 1, cut_length_mm: 900, steps };
const plan = (change: object = {}): PlanAnswer =>
  ({ bender: "Wagtail", blank: { cut_length_mm: 900 }, steps, ...change }) as unknown as PlanAnswer;

describe("what changed since a run began", () => {
  it("is nothing while the plan is the same, set angles aside", () => {
    expect(changesSince(run, begun, plan())).toEqual([]);
    const taught = steps.map((step) => ({ ...step, set_angle_deg: 33 }));
    expect(changesSince(run, begun, plan({ steps: taught }))).toEqual([]);
  });
  it("names the order alone when only the order changed", () => {
    expect(changesSince(run, begun, plan({ steps: [steps[1], steps[0]] }))).toEqual(["order"]);
  });
  it("names each thing that changed", () => {
    const other = steps.map((step) => ({ ...step, mark_mm: step.mark_mm + 1, die: "25R60" }));
    expect(changesSince(run, begun, plan({ steps: other, blank: { cut_length_mm: 902 } }))).toEqual([
      "dies",
      "marks",
      "cut",
    ]);
    expect(changesSince(run, begun, plan({ steps: [steps[0]], bender: null }))).toEqual(["bends", "bender"]);
  });
});
