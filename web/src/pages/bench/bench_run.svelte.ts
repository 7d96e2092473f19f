// The bench view's state: part, plan and run of one job, safe against a lost service and reload.

import type { Failure, PlanAnswer, Rec } from "../../model/answers";
import { freshKey, Refused, Unreachable } from "../../model/api";
import { wishOf } from "../../model/wish";
import type { Pressed, RunDocument, RunPlan, RunState } from "../../model/run";
import { recall, reunited, RunQueue, type Kept, type Standing } from "../../model/run_queue";
import { kTolerance_deg, toStep } from "./hits";
import { station } from "../../state/station.svelte";

type Stage = "loading" | "none" | "ready" | "failed";

export interface BenderLook {
  head: "clockwise" | "counter-clockwise";
  degree_wheel: boolean;
}

const planKept = (part: string): string => `bight.bench-plan.${part}`;

// A fresh id of a record: letters and digits the store takes.
function freshId(): string {
  const time = Date.now().toString(36).padStart(9, "0").slice(-9);
  return time + freshKey().slice(0, 7);
}

export class BenchRun {
  stage = $state<Stage>("loading");
  failure = $state<Failure | null>(null);
  plan = $state.raw<PlanAnswer | null>(null);
  bender = $state.raw<BenderLook>({ head: "clockwise", degree_wheel: true });
  held = $state.raw<Kept | null>(null);
  standing = $state<Standing>("saved");
  state = $state.raw<RunState | null>(null);
  waiting = $state(0);
  part_revision = 0;
  private queue: RunQueue | null = null;
  private readonly deaf: (() => void)[] = [];

  constructor(readonly part: string) {
    void this.load();
    this.deaf.push(
      station.hear((change) => {
        if (change.kind === "run" && change.id === this.held?.id) void this.fetchRun();
      }),
    );
    const wake = (): void => void this.queue?.send();
    const beat = setInterval(() => this.waiting > 0 && wake(), 4000);
    addEventListener("online", wake);
    this.deaf.push(() => clearInterval(beat), () => removeEventListener("online", wake));
  }

  leave(): void {
    for (const stop of this.deaf) stop();
  }

  private async load(): Promise<void> {
    try {
      const chosen = await wishOf(station.api, this.part);
      const [record, planned, runs] = await Promise.all([
        station.api.get<Rec>(`/records/part/${this.part}`),
        station.api.post<{ plan: PlanAnswer }>("/plan", { part_id: this.part, ...chosen }),
        station.api.get<{ records: Rec<RunDocument>[] }>(
          `/records/run?part=${encodeURIComponent(this.part)}&limit=20`,
        ),
      ]);
      this.part_revision = record.revision;
      this.plan = planned.plan;
      await this.lookUpBender(this.plan.bender);
      this.keepPlan();
      const open =
        runs.records.find((run) => !run.document.events?.some((one) => one.do === "end")) ?? null;
      const plan = open ? await this.planOfRun(open.id) : null;
      this.begin(reunited(recall(localStorage, this.part), plan ? open : null, plan, this.part));
    } catch (error) {
      if (error instanceof Unreachable) this.loadKept();
      else if (error instanceof Refused) this.fail(error.first);
      else throw error;
    }
  }

  // Null for a run that was not begun at the bench.
  private async planOfRun(id: string): Promise<RunPlan | null> {
    try {
      return (await station.api.get<Rec<RunPlan>>(`/records/attachment/${id}`)).document;
    } catch (error) {
      if (error instanceof Refused && error.status === 404) return null;
      throw error;
    }
  }

  // Without the service: the plan as it was when it was last seen here.
  private loadKept(): void {
    const text = localStorage.getItem(planKept(this.part));
    if (text === null) {
      this.fail({ code: "page.away", where: "", message: "", remedy: "" });
      return;
    }
    const kept = JSON.parse(text) as { plan: PlanAnswer; bender: BenderLook; revision: number };
    this.plan = kept.plan;
    this.bender = kept.bender;
    this.part_revision = kept.revision;
    this.begin(recall(localStorage, this.part));
    this.standing = "away";
  }

  private keepPlan(): void {
    const kept = { plan: this.plan, bender: this.bender, revision: this.part_revision };
    try {
      localStorage.setItem(planKept(this.part), JSON.stringify(kept));
    } catch {
      // Without room the bench still works while the service is there.
    }
  }

  private async lookUpBender(name: string | null): Promise<void> {
    if (name === null) return;
    interface BenderDocument {
      name?: string;
      direction?: string;
      degree_wheel?: boolean;
    }
    const found = await station.api.get<{ records: Rec<BenderDocument>[] }>(
      "/records/bender?limit=200",
    );
    const own = found.records.find((record) => record.document.name === name)?.document;
    this.bender = {
      head: own?.direction === "counter-clockwise" ? "counter-clockwise" : "clockwise",
      degree_wheel: own?.degree_wheel ?? true,
    };
  }

  private fail(failure: Failure): void {
    this.failure = failure;
    this.stage = "failed";
  }

  private begin(kept: Kept | null): void {
    this.stage = kept ? "ready" : "none";
    if (!kept) return;
    this.queue = new RunQueue(kept, localStorage, station.api, (held, standing) => {
      this.held = held;
      this.standing = standing;
      this.state = this.queue!.state;
      this.waiting = this.queue!.waiting;
    });
    this.held = kept;
    this.state = this.queue.state;
    this.waiting = this.queue.waiting;
    if (this.waiting > 0 || kept.revision === 0) void this.queue.send();
  }

  private async fetchRun(): Promise<void> {
    try {
      const path = `/records/run/${this.held!.id}`;
      this.queue?.receive(await station.api.get<Rec<RunDocument>>(path));
    } catch (error) {
      if (!(error instanceof Unreachable || error instanceof Refused)) throw error;
    }
  }

  // A new run of this part with the plan as it stands.
  start(): void {
    const plan = this.plan;
    if (!plan) return;
    const steps = plan.steps.map((step) => ({
      bend: step.bend,
      die: step.die,
      mark_mm: step.mark_mm,
      mark_from_b_mm: step.mark_from_b_mm,
      bend_lies: step.bend_lies,
      arc_mm: step.arc_mm,
      rotation_deg: step.rotation_deg,
      wheel_deg: step.wheel_deg,
      angle_deg: step.angle_deg,
      set_angle_deg: step.set_angle_deg,
      speed_max_rpm: step.speed_max_rpm,
    }));
    const { tube } = plan.part;
    this.begin({
      id: freshId(),
      part: this.part,
      revision: 0,
      sent: [],
      run: {
        schema: 1,
        name: plan.part.name,
        part: plan.part.name,
        part_id: this.part,
        ...(plan.bender ? { bender: plan.bender } : {}),
        ...(tube.material ? { material: tube.material } : {}),
        ...(tube.heat ? { heat: tube.heat } : {}),
        pieces: plan.part.quantity,
        steps: steps.map((step) => ({
          bend: step.bend,
          die: step.die,
          angle: step.angle_deg,
          set: toStep(step.set_angle_deg),
          tolerance: kTolerance_deg,
        })),
        events: [],
      },
      plan: {
        name: plan.part.name,
        part_revision: this.part_revision,
        cut_length_mm: plan.blank?.cut_length_mm ?? null,
        steps,
      },
      plan_sent: false,
    });
  }

  press(what: Pressed): void {
    navigator.vibrate?.(30);
    const at = new Date().toISOString();
    const deed = { key: freshKey(), at, by: station.api.initials, ...what };
    void this.queue?.press(deed);
  }

  takeBack(): void {
    const last = this.state?.last;
    if (last) this.press({ do: "take-back", of: last.key });
  }

  // Ends the run; a new one can be begun once the service has it all.
  async end(): Promise<void> {
    this.press({ do: "end" });
    await this.queue?.send();
    if (this.queue?.forget()) {
      this.queue = null;
      this.held = null;
      this.state = null;
      this.stage = "none";
    }
  }
}
