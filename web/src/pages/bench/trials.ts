// Readings of a piece kept as trial bends, so that the next plan of this tube knows them.

import { Refused, Unreachable } from "../../model/api";
import { t } from "../../model/words";
import { station } from "../../state/station.svelte";
import type { BenchRun } from "./bench_run.svelte";

export interface TrialDocument {
  schema: 1;
  die: string;
  bender?: string;
  od: number;
  wall: number;
  material: string;
  heat?: string;
  set: number;
  finished: number;
  date: string;
  who?: string;
}

// One trial bend for each bend with a reading: its last hit. Nothing for sections without a wall.
export function trialsOf(bench: Pick<BenchRun, "plan" | "state" | "held">, date: string): TrialDocument[] {
  const { plan, state, held } = bench;
  if (!plan || !state || !held) return [];
  const tube = plan.part.tube;
  if (tube.wall_mm === null) return [];
  const wall = tube.wall_mm;
  return held.plan.steps.flatMap((step, index) => {
    const last = state.bends[index]?.hits.at(-1);
    if (!last || last.read_deg === null) return [];
    return {
      schema: 1,
      die: step.die,
      ...(held.run.bender ? { bender: held.run.bender } : {}),
      od: tube.height_mm,
      wall,
      material: tube.material,
      ...(tube.heat ? { heat: tube.heat } : {}),
      set: last.set_deg,
      finished: last.read_deg,
      date,
      ...(station.api.initials ? { who: station.api.initials } : {}),
    };
  });
}

// Empty when all were kept, else what stood in the way. Pressing twice keeps nothing twice.
export async function keepAsTrials(bench: BenchRun): Promise<string> {
  const today = new Date().toISOString().slice(0, 10);
  try {
    for (const [index, document] of trialsOf(bench, today).entries()) {
      const key = `trial-${bench.held!.id}-${bench.state!.piece}-${index}`;
      await station.api.ask("/records/trial", {
        method: "POST",
        body: { document },
        headers: { "Idempotency-Key": key },
      });
    }
    return "";
  } catch (error) {
    if (error instanceof Refused) return error.first.message;
    if (error instanceof Unreachable) return t("bench.keepLater");
    throw error;
  }
}
