// From what each step's turn is counted. Most count from the bend made just before; where the tube was
// turned end for end or a bend lies between, another one is laid flat first.
import type { Step } from "./answers";

type Turned = Pick<Step, "bend" | "rotation_from" | "wheel_reset">;
export interface TurnedFrom {
  bend: number; // lies flat before the tube is turned
  reset: boolean; // the wheel is set to its zero there
}

// For each step what its turn is counted from; null where that is the bend before, or nothing.
export function turnedFrom(steps: readonly Turned[]): (TurnedFrom | null)[] {
  return steps.map(({ rotation_from, wheel_reset }, index) =>
    rotation_from !== null && (wheel_reset || rotation_from !== steps[index - 1]?.bend)
      ? { bend: rotation_from, reset: wheel_reset }
      : null,
  );
}
