// The bench view's state: part, plan and run of one job, safe against a lost service and reload.

import type { Failure, PlanAnswer, Rec, Wish } from "../../model/answers";
import { freshKey, Refused, Unreachable } from "../../model/api";
import type { ChecklistAnswer, KeypadAnswer } from "../../model/bench_answers";
import { changesSince, type Changed } from "../../model/changes";
import { wishOf } from "../../model/wish";
import type { Pressed, RunDocument, RunPlan, RunState, Told } from "../../model/run";
import { recall, reunited, RunQueue, type Kept, type Standing } from "../../model/run_queue";
import { kTolerance_deg, toStep } from "./hits";
import { settings } from "../../state/settings.svelte";
import { station } from "../../state/station.svelte";

type Stage = "loading" | "none" | "ready" | "failed";

export interface BenderLook {
  head: "clockwise" | "counter-clockwise";
  degree_wheel: boolean;
}

// Checklist and keypad card of the plan as it is now; null: not to be had, and why the card is not.
interface Lists {
  checklist: ChecklistAnswer | null;
  keypad: KeypadAnswer | null;
  why: string;
}
const kNoLists: Lists = { checklist: null, keypad: null, why: "" };
// What a plan is made of besides the part.
const kMakesPlan = ["die_set", "bender", "tube", "material", "house"];

const planKept = (part: string): string => `bight.bench-plan.${part}`;

interface KeptPlan {
  plan: PlanAnswer;
  bender: BenderLook;
  revision: number;
  wish?: Wish;
  lists?: Lists;
}

function ignore(error: unknown): void {
  if (!(error instanceof Unreachable || error instanceof Refused)) throw error;
}

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
  wish = $state.raw<Wish>({}); // as chosen on the plan page
  lists = $state.raw<Lists>(kNoLists);
  changed = $state.raw<Changed[]>([]); // since the run began
  resumed = $state(false); // the run was there before this page was
  private queue: RunQueue | null = null;
  private readonly deaf: (() => void)[] = [];

  constructor(readonly part: string) {
    void this.load();
    this.deaf.push(
      station.hear((change) => {
        if (change.kind === "run" && change.id === this.held?.id) void this.fetchRun();
        const own = change.id === this.part && ["part", "plan_choice"].includes(change.kind);
        if (own || kMakesPlan.includes(change.kind)) void this.planAnew();
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
      this.wish = await wishOf(station.api, this.part);
      const [record, planned, lists, runs] = await Promise.all([
        station.api.get<Rec>(`/records/part/${this.part}`),
        station.api.post<{ plan: PlanAnswer }>("/plan", { part_id: this.part, ...this.wish }),
        this.askLists(),
        station.api.get<{ records: Rec<RunDocument>[] }>(
          `/records/run?part=${encodeURIComponent(this.part)}&limit=20`,
        ),
      ]);
      this.part_revision = record.revision;
      this.plan = planned.plan;
      this.lists = lists;
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

  private async askLists(): Promise<Lists> {
    const asked = { part_id: this.part, ...this.wish, units: settings.unit };
    const lists: Lists = { ...kNoLists };
    await Promise.all([
      station.api.post<ChecklistAnswer>("/checklist", asked).then((one) => (lists.checklist = one), ignore),
      station.api.post<KeypadAnswer>("/keypad", asked).then(
        (one) => (lists.keypad = one),
        (error: unknown) => {
          if (error instanceof Refused) lists.why = error.first.message;
          else ignore(error);
        },
      ),
    ]);
    return lists;
  }

  // Somebody changed the part or what it is made with: the run goes on as begun, the bench says so.
  private async planAnew(): Promise<void> {
    try {
      this.wish = await wishOf(station.api, this.part);
      const asked = { part_id: this.part, ...this.wish };
      const [record, planned, lists] = await Promise.all([
        station.api.get<Rec>(`/records/part/${this.part}`),
        station.api.post<{ plan: PlanAnswer }>("/plan", asked),
        this.askLists(),
      ]);
      this.part_revision = record.revision;
      this.plan = planned.plan;
      this.lists = lists;
      this.keepPlan();
      this.compare();
    } catch (error) {
      ignore(error);
    }
  }
  private compare(): void {
    const { held, plan } = this;
    this.changed = held && plan ? changesSince(held.run, held.plan, plan) : [];
  }
  // Of the run where it has its own: what was ticked stays what is shown.
  get checklist(): ChecklistAnswer | null {
    return this.held?.plan.checklist ?? this.lists.checklist;
  }
  get keypad(): KeypadAnswer | null {
    return this.held?.plan.keypad ?? this.lists.keypad;
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
    const kept = JSON.parse(text) as KeptPlan;
    this.plan = kept.plan;
    this.bender = kept.bender;
    this.part_revision = kept.revision;
    this.wish = kept.wish ?? {};
    this.lists = kept.lists ?? kNoLists;
    this.begin(recall(localStorage, this.part));
    this.standing = "away";
  }

  private keepPlan(): void {
    const kept: KeptPlan = {
      plan: this.plan!,
      bender: this.bender,
      revision: this.part_revision,
      wish: this.wish,
      lists: this.lists,
    };
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
    const queue = new RunQueue(kept, localStorage, station.api, (held, standing) => {
      if (this.queue !== queue) return; // an answer that comes after the run was ended
      this.held = held;
      this.standing = standing;
      this.state = queue.state;
      this.waiting = queue.waiting;
    });
    this.queue = queue;
    this.held = kept;
    this.state = queue.state;
    this.waiting = queue.waiting;
    this.compare();
    this.resumed = kept.revision > 0 && (this.state?.readings.length ?? 0) > 0;
    if (this.waiting > 0 || kept.revision === 0) void queue.send();
  }

  private async fetchRun(): Promise<void> {
    try {
      const path = `/records/run/${this.held!.id}`;
      this.queue?.receive(await station.api.get<Rec<RunDocument>>(path));
    } catch (error) {
      ignore(error);
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
        bend_table: plan.part.bend_table,
        checklist: this.lists.checklist,
        keypad: this.lists.keypad,
      },
      plan_sent: false,
    });
  }

  press(what: Pressed): void {
    navigator.vibrate?.(30);
    this.resumed = false;
    const at = new Date().toISOString();
    const deed = { key: freshKey(), at, by: station.api.initials, ...what };
    void this.queue?.press(deed);
  }

  takeBack(): void {
    const last = this.state?.last;
    if (last) this.press({ do: "take-back", of: last.key });
  }

  // An answer along the trouble guide that was a mistake.
  untell(told: Told): void {
    const same = (one: Told): boolean =>
      one.symptom === told.symptom && one.question === told.question && one.answer === told.answer;
    const last = this.state?.troubles.filter(same).at(-1);
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
      this.changed = [];
      this.stage = "none";
    }
  }
}
