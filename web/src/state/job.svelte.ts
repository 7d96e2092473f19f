// The part that is open: its document as it is being changed, what the service says about it, and
// whether it is safely kept. One job for all its views, so that a change in one is seen in the rest.
import { Refused, Unreachable, freshKey } from "../model/api";
import type { Change, Failure, FullPlan, PartCheck, Rec, Wish } from "../model/answers";
import { merge, same, type Json, type Merged } from "../model/merge";
import type { PartDocument } from "../model/part_document";
import { Queue } from "../model/queue";
import { Undo } from "../model/undo";
import { followed, noted, overwritten, type Overwritten, type Theirs } from "../model/wish";
import { settings } from "./settings.svelte";
import { station } from "./station.svelte";

export type Safe = "kept" | "changed" | "sending" | "waiting" | "contested" | "unsafe";
export interface Conflict {
  present: Rec<PartDocument>;
  merged: Merged;
}

// What one step of undo takes back: the part as drawn, and what was chosen for its plan.
interface Step {
  document: PartDocument;
  wish: Wish;
}

const bare = (wish: Wish): Wish =>
  Object.fromEntries(Object.entries(wish).filter(([, value]) => value !== undefined && value !== "")) as Wish;
const asJson = (document: PartDocument): Json => document as unknown as Json;
const askAfterMs = 25;
const sendAfterMs = 600;
const againAfterMs = 4000;
const keepPlanAfterMs = 2500;

export class Job {
  readonly id: string;
  document = $state.raw<PartDocument | null>(null);
  record = $state.raw<Rec<PartDocument> | null>(null);
  checked = $state.raw<PartCheck | null>(null);
  full = $state.raw<FullPlan | null>(null);
  planFailures = $state.raw<Failure[]>([]);
  asking = $state(false);
  wish = $state.raw<Wish>({});
  safe = $state<Safe>("kept");
  conflict = $state.raw<Conflict | null>(null);
  news = $state(""); // initials of whoever else changed it last
  trouble = $state("");
  canUndo = $state(false);
  canRedo = $state(false);
  // Undo or redo would put something over what another station chose: asked first.
  asked = $state.raw<{ way: "undo" | "redo"; lost: Overwritten[] } | null>(null);

  #undo: Undo<Step> | null = null;
  #queue = new Queue(localStorage);
  #wishRevision = 0;
  #wishKept: Wish = {}; // as the service has it at that revision
  #theirs: Theirs = {};
  #choosing = false; // a choice is on its way to the service
  #chosenSince = false;
  #wishTimer = 0;
  #planWanted = 0;
  #askTimer = 0;
  #sendTimer = 0;
  #keepTimer = 0; // for the plan to be kept
  #running = false;
  #again = false;
  #sending: Promise<void> | null = null;
  #closed = false;
  #stop: () => void;

  constructor(id: string) {
    this.id = id;
    this.#stop = station.hear((change) => void this.#heard(change));
    void this.load();
  }

  close(): void {
    this.#closed = true;
    this.#stop();
    clearTimeout(this.#askTimer);
    clearTimeout(this.#keepTimer);
    this.flush();
  }

  async load(): Promise<void> {
    try {
      const record = await station.api.get<Rec<PartDocument>>(`/records/part/${this.id}`);
      this.record = record;
      const held = this.#queue.held("part", this.id);
      if (held) {
        this.#start(held.document as PartDocument);
        this.record = { ...record, revision: held.revision, document: held.base as PartDocument };
        this.safe = "changed";
        void this.send().then(() => this.#overtaken(record));
      } else this.#start(record.document);
      await this.#loadWish();
      this.#keepTimer = window.setTimeout(() => void this.#keepPlan(), keepPlanAfterMs);
    } catch (error) {
      this.trouble = error instanceof Refused ? error.first.message : "away";
      if (error instanceof Unreachable && !this.#closed) {
        this.#askTimer = window.setTimeout(() => void this.load(), againAfterMs);
      }
    }
  }

  // What was held may have arrived before, and somebody gone on from it: theirs is what stands now.
  #overtaken(present: Rec<PartDocument>): void {
    if (this.safe !== "kept" || !this.record || this.record.revision >= present.revision) return;
    this.record = present;
    this.#start(present.document);
  }

  #start(document: PartDocument): void {
    this.#undo = new Undo({ document, wish: this.wish });
    this.document = document;
    this.#marks();
    this.#askSoon();
  }

  async #loadWish(): Promise<void> {
    try {
      const found = await station.api.get<{ records: Rec<Wish>[] }>(
        `/records/plan_choice?part=${this.id}&limit=10`,
      );
      const kept = found.records.find((record) => record.id === this.id);
      if (!kept || this.#choosing) return; // what was chosen here meanwhile is newer
      // At the first look there are no steps that it could be laid under.
      const wish = followed(this.wish, this.#wishKept, kept.document);
      this.#follow(kept, wish, this.#wishRevision > 0 || this.canUndo);
    } catch {
      // What is known of it stays.
    }
  }

  // Another station chose: what this one chose meanwhile stays, the rest and the steps of undo follow.
  #follow(kept: Rec<Wish>, wish: Wish, known: boolean): void {
    if (known) {
      this.#theirs = noted(this.#theirs, this.#wishKept, kept.document, kept.by);
      this.news = kept.by;
    }
    const was = this.#wishKept;
    this.#wishKept = kept.document;
    this.#wishRevision = kept.revision;
    this.wish = wish;
    this.asked = null;
    this.#undo?.map(
      (step) => ({ ...step, wish: followed(step.wish, was, kept.document) }),
      (a, b) => a.document === b.document && same(a.wish as Json, b.wish as Json),
    );
    this.#marks();
    this.#askSoon();
  }

  #marks(): void {
    this.canUndo = this.#undo?.canUndo ?? false;
    this.canRedo = this.#undo?.canRedo ?? false;
  }

  // A change by the person here. Changes with the same tag in a row are one step of undo.
  change(document: PartDocument, tag = ""): void {
    if (!this.#undo || document === this.document) return;
    this.#undo.push({ document, wish: this.wish }, tag);
    this.#show(document);
  }
  seal(): void {
    this.#undo?.seal();
  }
  undo(): void {
    this.#step("undo", false);
  }
  redo(): void {
    this.#step("redo", false);
  }
  // The answer to what was asked.
  stepAllTheSame(): void {
    if (this.asked) this.#step(this.asked.way, true);
  }
  #step(way: "undo" | "redo", sure: boolean): void {
    if (!this.#undo) return;
    const to = way === "undo" ? this.#undo.before : this.#undo.after;
    if (!to) return;
    const lost = sure ? [] : overwritten(this.wish, to.wish, this.#theirs);
    this.asked = lost.length > 0 ? { way, lost } : null;
    if (lost.length === 0) this.#stepTo(way === "undo" ? this.#undo.undo() : this.#undo.redo());
  }
  // A change of the part and of what is chosen for its plan, as one step of undo.
  mend(document: PartDocument | undefined, wish: Wish | undefined): void {
    if (!this.#undo || !this.document) return;
    const next = { document: document ?? this.document, wish: wish ? bare(wish) : this.wish };
    if (next.document === this.document && same(next.wish as Json, this.wish as Json)) return;
    this.#undo.push(next);
    this.#stepTo(next);
  }

  #stepTo(step: Step): void {
    if (step.document !== this.document) this.#show(step.document);
    this.#marks();
    if (same(step.wish as Json, this.wish as Json)) return;
    this.wish = step.wish;
    this.#askSoon();
    void this.#keepWish();
  }

  #show(document: PartDocument): void {
    this.document = document;
    this.#marks();
    this.#askSoon();
    this.safe = this.safe === "contested" ? "contested" : "changed";
    clearTimeout(this.#sendTimer);
    if (this.safe === "changed") {
      this.#hold(); // should the page be closed before it is sent
      this.#sendTimer = window.setTimeout(() => void this.send(), sendAfterMs);
    }
  }

  // While some view shows the plan, every change is planned at once.
  wantPlan(): () => void {
    void settings.unit; // the words of findings are in it: who wants a plan asks again
    this.#planWanted += 1;
    this.#askSoon();
    return () => (this.#planWanted -= 1);
  }

  choose(wish: Wish): void {
    this.mend(undefined, wish);
  }

  // One after the other: a choice on its way is not somebody else's.
  async #keepWish(): Promise<void> {
    clearTimeout(this.#wishTimer);
    this.#chosenSince = true;
    if (this.#choosing) return;
    this.#choosing = true;
    while (this.#chosenSince) {
      this.#chosenSince = false;
      await this.#putWish();
    }
    this.#choosing = false;
  }
  async #putWish(): Promise<void> {
    const chosen = this.wish;
    try {
      const kept = await station.api.put<Wish>("plan_choice", this.id, this.#wishRevision, {
        body: { document: chosen, part: this.id },
        key: freshKey(),
      });
      this.#wishRevision = kept.revision;
      this.#wishKept = chosen;
    } catch (error) {
      // Somebody else chose meanwhile: only what was chosen here is kept over it, and it is said whose.
      if (error instanceof Refused && error.present) {
        const present = error.present as Rec<Wish>;
        this.#follow(present, followed(this.wish, this.#wishKept, present.document), true);
        this.#chosenSince = !same(this.wish as Json, present.document as Json);
      }
      if (error instanceof Unreachable) {
        this.#wishTimer = window.setTimeout(() => void this.#keepWish(), againAfterMs);
      }
    }
  }

  // The part and the choices as an operation of the service wants them.
  planBody(): Record<string, unknown> {
    return { part: this.document, ...this.wish, units: settings.unit };
  }

  #askSoon(): void {
    clearTimeout(this.#askTimer);
    this.#askTimer = window.setTimeout(() => void this.#ask(), askAfterMs);
  }

  // One question at a time; what changed meanwhile is asked next, what is in between is skipped.
  async #ask(): Promise<void> {
    if (!this.document) return;
    if (this.#running) {
      this.#again = true;
      return;
    }
    this.#running = true;
    this.asking = true;
    do {
      this.#again = false;
      const part = this.document;
      try {
        const check = station.api.post<PartCheck>("/part/check", { part });
        const plan =
          this.#planWanted > 0
            ? station.api.post<FullPlan>("/plan", this.planBody()).then(
                (full) => ({ full, failures: [] as Failure[] }),
                (error: unknown) => {
                  if (!(error instanceof Refused)) throw error;
                  return { full: null, failures: error.failures };
                },
              )
            : null;
        const [checked, planned] = await Promise.all([check, plan]);
        this.checked = checked;
        if (planned) {
          if (planned.full) this.full = planned.full;
          this.planFailures = planned.failures;
        }
        this.trouble = "";
      } catch (error) {
        this.trouble = error instanceof Refused ? error.first.message : "away";
      }
    } while (this.#again);
    this.#running = false;
    this.asking = false;
  }

  // A job that was opened has its plan without the network, too, even if nobody looked at it yet.
  async #keepPlan(): Promise<void> {
    if (this.#closed || this.full || this.#planWanted > 0 || !this.document || !station.reached) return;
    await station.api.post<FullPlan>("/plan", this.planBody()).catch(() => undefined);
  }

  // Where the page is left, what was typed last goes at once.
  flush(): void {
    if (this.safe === "changed") void this.send();
  }

  // On this computer until the service has it. Gives the key of the wish and whether there was room.
  #hold(): { key: string; safe: boolean } | null {
    const { document, record } = this;
    if (!document || !record) return null;
    const held = this.#queue.held("part", this.id);
    const again = held !== null && same(held.document as Json, asJson(document));
    const key = again ? held.key : freshKey();
    const pending = { document, base: record.document, revision: record.revision, key };
    return { key, safe: this.#queue.hold("part", this.id, pending) };
  }

  // Sends what changed; one after the other.
  send(): Promise<void> {
    clearTimeout(this.#sendTimer);
    this.#sending = (this.#sending ?? Promise.resolve()).then(() => this.#sendOnce());
    return this.#sending;
  }

  async #sendOnce(): Promise<void> {
    const { document, record } = this;
    if (!document || !record || this.safe === "contested") return;
    if (same(asJson(document), asJson(record.document))) {
      this.safe = "kept";
      this.#queue.drop("part", this.id);
      return;
    }
    const { key, safe } = this.#hold()!;
    this.safe = "sending";
    try {
      this.record = await station.api.put<PartDocument>("part", this.id, record.revision, {
        body: { document },
        key,
      });
      this.safe = this.document === document ? "kept" : "changed";
      if (this.safe === "kept") this.#queue.drop("part", this.id);
      if (this.safe === "changed") void this.send();
    } catch (error) {
      this.#notSent(error, safe);
    }
  }

  #notSent(error: unknown, held: boolean): void {
    if (error instanceof Refused && error.conflict && error.present) {
      this.#contest(error.present as unknown as Rec<PartDocument>);
      return;
    }
    this.safe = held ? "waiting" : "unsafe";
    if (error instanceof Refused) this.trouble = error.first.message;
    if (error instanceof Unreachable) {
      this.#sendTimer = window.setTimeout(() => void this.send(), againAfterMs);
    }
  }

  #contest(present: Rec<PartDocument>): void {
    if (!this.document || !this.record) return;
    const merged = merge(
      asJson(this.record.document),
      asJson(this.document),
      asJson(present.document),
    );
    this.conflict = { present, merged };
    this.safe = "contested";
  }

  // Ends a conflict with the document the person settled on, made from what stands there now.
  settle(document: PartDocument): void {
    if (!this.conflict) return;
    this.record = this.conflict.present;
    this.conflict = null;
    this.safe = "changed";
    this.#undo?.push({ document, wish: this.wish });
    this.#show(document);
    void this.send();
  }

  // Somebody changed something: follow, unless there are changes of one's own.
  async #heard(change: Change): Promise<void> {
    if (change.kind === "plan_choice" && change.id === this.id) {
      // Die, bender, end and order chosen at another station hold here, too.
      if (!this.#choosing && change.revision > this.#wishRevision) await this.#loadWish();
      return;
    }
    if (change.kind !== "part") {
      if (["die_set", "bender", "trial", "tube", "material", "house"].includes(change.kind)) this.#askSoon();
      return;
    }
    if (change.id !== this.id || !this.record || change.revision <= this.record.revision) return;
    if (this.safe === "sending") return; // our own, or about to be told
    try {
      const record = await station.api.get<Rec<PartDocument>>(`/records/part/${this.id}`);
      if (record.revision <= (this.record?.revision ?? 0)) return;
      if (this.safe === "kept") {
        this.record = record;
        this.#undo?.push({ document: record.document, wish: this.wish });
        this.document = record.document;
        this.#marks();
        this.#askSoon();
        this.news = record.by;
      } else if (this.safe !== "contested") this.#contest(record);
    } catch {
      // The line broke; the next change or send finds out.
    }
  }
}

let open: Job | null = null;
addEventListener("hashchange", () => open?.flush());
addEventListener("pagehide", () => open?.flush());
document.addEventListener("visibilitychange", () => document.visibilityState === "hidden" && open?.flush());

export function openJob(id: string): Job {
  if (open?.id === id) return open;
  open?.close();
  open = new Job(id);
  return open;
}
