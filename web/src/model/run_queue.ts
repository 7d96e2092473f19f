// Keeps a run's deeds safe on this computer until the service has them. Nothing is lost when the
// service is away or the page is closed, nothing doubled when an answer gets lost on the way.

import { Refused, Unreachable, type Write } from "./api";
import type { Rec } from "./answers";
import {
  lacks,
  merged,
  momentAfter,
  stateOf,
  type Deed,
  type RunDocument,
  type RunPlan,
  type RunState,
} from "./run";

export interface Keep {
  getItem(name: string): string | null;
  setItem(name: string, value: string): void;
  removeItem(name: string): void;
}
export interface RunApi {
  get<T>(path: string): Promise<T>;
  put<Doc>(kind: string, id: string, revision: number, write: Write): Promise<Rec<Doc>>;
}

export interface Kept {
  id: string;
  part: string;
  revision: number; // the newest seen; 0: the service does not have the run yet
  run: RunDocument; // with every deed, sent or not
  sent: string[]; // keys the service is known to have
  plan: RunPlan;
  plan_sent: boolean;
}

export type Standing = "saved" | "waiting" | "away" | "refused";

const kept = (part: string): string => `bight.run.${part}`;
const kTries = 6;

export function recall(keep: Keep, part: string): Kept | null {
  try {
    const text = keep.getItem(kept(part));
    return text === null ? null : (JSON.parse(text) as Kept);
  } catch {
    return null;
  }
}

export class RunQueue {
  private sending: Promise<Standing> | null = null;
  private again = false;

  constructor(
    private held: Kept,
    private readonly keep: Keep,
    private readonly api: RunApi,
    private readonly changed: (held: Kept, standing: Standing) => void = () => undefined,
  ) {
    this.store();
  }

  get document(): RunDocument {
    return this.held.run;
  }
  get id(): string {
    return this.held.id;
  }
  get state(): RunState {
    return stateOf(this.held.run);
  }
  get waiting(): number {
    const sent = new Set(this.held.sent);
    return this.held.run.events.filter((deed) => !sent.has(deed.key)).length;
  }

  // On this computer at once, then to the service.
  press(deed: Deed): Promise<Standing> {
    const at = momentAfter(this.held.run.events, Date.parse(deed.at));
    this.take([{ ...deed, at }]);
    this.changed(this.held, "waiting");
    return this.send();
  }

  // What another station has written.
  receive(record: Rec<RunDocument>): void {
    if (record.id !== this.held.id) return;
    this.learn(record);
    this.changed(this.held, this.waiting > 0 ? "waiting" : "saved");
  }

  send(): Promise<Standing> {
    if (this.sending) {
      this.again = true;
      return this.sending;
    }
    this.sending = this.sendAll().finally(() => (this.sending = null));
    return this.sending;
  }

  // Forgets the run on this computer; only once the service has all of it.
  forget(): boolean {
    if (this.waiting > 0 || this.held.revision === 0) return false;
    this.keep.removeItem(kept(this.held.part));
    return true;
  }

  private take(deeds: readonly Deed[]): void {
    const all = merged(this.held.run.events, deeds);
    this.held = { ...this.held, run: { ...this.held.run, events: all } };
    this.store();
  }

  private learn(record: Rec<RunDocument>): void {
    const sent = new Set([...this.held.sent, ...record.document.events.map((deed) => deed.key)]);
    const revision = Math.max(this.held.revision, record.revision);
    this.held = { ...this.held, revision, sent: [...sent] };
    this.take(record.document.events);
  }

  private store(): void {
    try {
      this.keep.setItem(kept(this.held.part), JSON.stringify(this.held));
    } catch {
      // No room: the service still gets it, and the page shows what waits.
    }
  }

  private async sendAll(): Promise<Standing> {
    let standing: Standing = "saved";
    do {
      this.again = false;
      standing = await this.sendOnce();
    } while (this.again && standing === "saved");
    this.changed(this.held, standing);
    return standing;
  }

  private async sendOnce(): Promise<Standing> {
    for (let tries = 0; tries < kTries; ++tries) {
      if (this.waiting === 0 && this.held.revision > 0 && this.held.plan_sent) return "saved";
      const { id, revision, run } = this.held;
      try {
        await this.sendPlan();
        if (this.waiting === 0 && this.held.revision > 0) return "saved";
        const body = { document: run, part: this.held.part };
        // The same list made from the same revision is the same wish, however often it is sent.
        const key = `run-${id}-${revision}-${run.events.length}-${run.events.at(-1)?.key ?? "new"}`;
        const record = await this.api.put<RunDocument>("run", id, revision, { body, key });
        this.learn(record);
        if (this.waiting === 0) return "saved";
      } catch (error) {
        if (error instanceof Unreachable) return "away";
        if (!(error instanceof Refused)) throw error;
        if (!error.conflict) return error.status >= 500 ? "away" : "refused";
        if (!(await this.catchUp(error.present as Rec<RunDocument> | null))) return "away";
      }
    }
    return "away";
  }

  // Written once and never changed: that it is there already is as good.
  private async sendPlan(): Promise<void> {
    if (this.held.plan_sent) return;
    const body = { document: this.held.plan, part: this.held.part };
    const key = `run-plan-${this.held.id}`;
    try {
      await this.api.put("attachment", this.held.id, 0, { body, key });
    } catch (error) {
      if (!(error instanceof Refused && error.conflict)) throw error;
    }
    this.held = { ...this.held, plan_sent: true };
    this.store();
  }

  // Somebody else wrote first: their deeds and ours together are what is written next.
  private async catchUp(present: Rec<RunDocument> | null): Promise<boolean> {
    try {
      this.learn(present ?? (await this.api.get<Rec<RunDocument>>(`/records/run/${this.held.id}`)));
      return true;
    } catch (error) {
      if (error instanceof Unreachable || error instanceof Refused) return false;
      throw error;
    }
  }
}

// The run to go on with: what the service has and what this computer has, put together.
export function reunited(
  local: Kept | null,
  record: Rec<RunDocument> | null,
  plan: RunPlan | null,
  part: string,
): Kept | null {
  if (!record || !plan) return local;
  const fromService: Kept = {
    id: record.id,
    part,
    revision: record.revision,
    run: record.document,
    sent: record.document.events.map((deed) => deed.key),
    plan,
    plan_sent: true,
  };
  if (!local || local.id !== record.id) {
    // A run begun here that the service has never seen is not thrown away for an older one.
    return local && lacks([], local.run.events) && local.revision === 0 ? local : fromService;
  }
  const events = merged(record.document.events, local.run.events);
  return { ...fromService, run: { ...record.document, events } };
}
