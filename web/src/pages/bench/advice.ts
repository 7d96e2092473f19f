// What the service says of the next hit: this tube's springback with every reading of the run.

import type { PlanAnswer } from "../../model/answers";
import type { Hit, RunState, RunStep } from "../../model/run";
import { station } from "../../state/station.svelte";
import { byLine, kTolerance_deg, whyFirst, type Advice } from "./hits";

interface SpringbackAnswer {
  b: number;
  hits: {
    wanted_deg: number;
    first_set_deg: number;
    first_finished_deg: number;
    overbend_chance: number;
  }[];
}

export interface Asked {
  part: string;
  plan: PlanAnswer;
  steps: readonly RunStep[];
  state: RunState;
  index: number;
  here: Advice;
}

// The first hit of every bend with a reading counts; hits that top up tell the same again.
export function trialsOfRun(
  state: RunState,
  steps: readonly RunStep[],
  die: string,
): { set: number; finished: number }[] {
  return state.readings.flatMap((one) => {
    const first = one.hits[0];
    if (steps[one.step]?.die !== die || !first || first.read_deg === null) return [];
    return { set: first.set_deg, finished: first.read_deg };
  });
}

// Null where the service has nothing better to say than what was worked out here.
export async function askAdvice(asked: Asked): Promise<Advice | null> {
  const { part, steps, state, index, here } = asked;
  if (here.set_deg === null) return null;
  const step = steps[index]!;
  const hits: readonly Hit[] = state.bends[index]?.hits ?? [];
  try {
    const answer = await station.api.post<SpringbackAnswer>("/springback", {
      part_id: part,
      die: step.die,
      wanted: [step.angle_deg],
      trials: trialsOfRun(state, steps, step.die).slice(-200),
      tolerance_deg: kTolerance_deg,
    });
    const last = hits.at(-1);
    if (last) {
      const set_deg = byLine(last, step.angle_deg, answer);
      return set_deg === null ? null : { ...here, set_deg, why: "next-hit" };
    }
    const first = answer.hits[0];
    if (!first) return null;
    return {
      set_deg: first.first_set_deg,
      why: whyFirst(first.first_finished_deg - step.angle_deg, first.first_set_deg - step.set_angle_deg),
      chance_over: first.overbend_chance,
      finished_deg: first.first_finished_deg,
    };
  } catch {
    return null; // not reached, or no answer for this tube: what is known here stands
  }
}
