import { beforeEach, describe, expect, it } from "vitest";
import { Refused, Unreachable, type Write } from "./api";
import type { Rec } from "./answers";
import { stateOf, type Deed, type Pressed, type RunDocument } from "./run";
import { recall, reunited, RunQueue, type Keep, type Kept } from "./run_queue";

// A service as strict as the real one: guards by revision, remembers the keys of wishes, and on
// wish loses the answer after having written, or the wish before.
class Service {
  record: Rec<RunDocument> | null = null;
  written = 0;
  private readonly answered = new Map<string, Rec<RunDocument>>();
  lose: ("wish" | "answer" | "none")[] = [];
  away = false;

  async get<T>(): Promise<T> {
    if (this.away) throw new Unreachable();
    return structuredClone(this.record) as T;
  }
  async put<Doc>(kind: string, id: string, revision: number, write: Write): Promise<Rec<Doc>> {
    const loss = this.lose.shift() ?? "none";
    if (this.away || loss === "wish") throw new Unreachable();
    const known = this.answered.get(write.key);
    if (known) return structuredClone(known) as unknown as Rec<Doc>;
    if ((this.record?.revision ?? 0) !== revision) {
      const failure = { code: "store.conflict", where: "", message: "", remedy: "" };
      throw new Refused(412, [failure], structuredClone(this.record) as unknown as Rec);
    }
    const { document } = write.body as { document: RunDocument };
    const next = { kind, id, revision: revision + 1, change: 1, deed: "put", content_of: 1, at: "", by: "" } as const;
    this.record = { ...next, withdrawn: false, document: structuredClone(document) };
    this.answered.set(write.key, structuredClone(this.record));
    ++this.written;
    if (loss === "answer") throw new Unreachable();
    return structuredClone(this.record) as unknown as Rec<Doc>;
  }
}

class Memory implements Keep {
  private readonly items = new Map<string, string>();
  getItem = (name: string) => this.items.get(name) ?? null;
  setItem = (name: string, value: string) => void this.items.set(name, value);
  removeItem = (name: string) => void this.items.delete(name);
}

const step = { bend: 1, die: "25R77", mark_mm: 300, mark_from_b_mm: 900, bend_lies: "towards B" };
const turns = { rotation_deg: 0, wheel_deg: 0, angle_deg: 90, set_angle_deg: 94, speed_max_rpm: 2 };
const run: RunDocument = {
  schema: 1,
  name: "rail",
  part_revision: 1,
  quantity: 2,
  bender: "hand",
  cut_length_mm: 1200,
  steps: [1, 2, 3].map((bend) => ({ ...step, ...turns, bend }) as RunDocument["steps"][number]),
  deeds: [],
};
let count = 0;
const deed = (what: Pressed, at = ++count): Deed => ({ key: `k${++count}`, at, by: "KB", ...what });
const fresh = (): Kept => ({ id: "run1", part: "p1", revision: 0, run, sent: [] });
const keys = (document: RunDocument | undefined) => document?.deeds.map((one) => one.key) ?? [];

describe("a run's queue", () => {
  let service: Service;
  let memory: Memory;
  beforeEach(() => {
    service = new Service();
    memory = new Memory();
    count = 0;
  });

  it("sends each press once", async () => {
    const queue = new RunQueue(fresh(), memory, service);
    await queue.press(deed({ do: "hit", piece: 1, step: 0, set_deg: 94 }));
    await queue.press(deed({ do: "bend-done", piece: 1, step: 0 }));
    expect(keys(service.record?.document)).toHaveLength(2);
    expect(service.written).toBe(2);
    expect(queue.waiting).toBe(0);
  });

  it("keeps what is pressed while the service is away and sends it when it is back", async () => {
    const queue = new RunQueue(fresh(), memory, service);
    service.away = true;
    expect(await queue.press(deed({ do: "hit", piece: 1, step: 0, set_deg: 94 }))).toBe("away");
    await queue.press(deed({ do: "read", piece: 1, step: 0, read_deg: 89.4 }));
    expect(queue.waiting).toBe(2);
    service.away = false;
    expect(await queue.send()).toBe("saved");
    expect(keys(service.record?.document)).toHaveLength(2);
  });

  it("doubles nothing when the answer gets lost after the service has written", async () => {
    const queue = new RunQueue(fresh(), memory, service);
    service.lose = ["answer", "wish", "none"];
    await queue.press(deed({ do: "hit", piece: 1, step: 0, set_deg: 94 }));
    await queue.send();
    await queue.send();
    await queue.press(deed({ do: "bend-done", piece: 1, step: 0 }));
    expect(keys(service.record?.document)).toHaveLength(2);
    expect(service.written).toBe(2);
  });

  it("loses nothing when the page is closed in the middle", async () => {
    service.away = true;
    const queue = new RunQueue(fresh(), memory, service);
    await queue.press(deed({ do: "hit", piece: 1, step: 0, set_deg: 94 }));
    await queue.press(deed({ do: "bend-done", piece: 1, step: 0 }));
    service.away = false;
    const again = new RunQueue(recall(memory, "p1")!, memory, service);
    expect(again.state).toMatchObject({ piece: 1, step: 1 });
    expect(await again.send()).toBe("saved");
    expect(keys(service.record?.document)).toHaveLength(2);
    expect(again.forget()).toBe(true);
    expect(recall(memory, "p1")).toBeNull();
  });

  it("merges what two stations pressed, whoever wrote first", async () => {
    const one = new RunQueue(fresh(), memory, service);
    await one.press(deed({ do: "check", item: "zero" }));
    const held = reunited(null, structuredClone(service.record), "p1")!;
    const other = new RunQueue(held, new Memory(), service);
    await other.press(deed({ do: "hit", piece: 1, step: 0, set_deg: 94 }));
    await one.press(deed({ do: "check", item: "guard" })); // made from an older revision
    expect(keys(service.record?.document)).toHaveLength(3);
    other.receive(structuredClone(service.record)!);
    expect(other.state.checked).toEqual(new Set(["zero", "guard"]));
    expect(other.state.bends[0]!.hits).toHaveLength(1);
  });

  it("says when the service refuses, and keeps the deeds", async () => {
    const queue = new RunQueue(fresh(), memory, {
      get: () => Promise.reject(new Unreachable()),
      put: () => Promise.reject(new Refused(403, [])),
    });
    expect(await queue.press(deed({ do: "check", item: "zero" }))).toBe("refused");
    expect(queue.forget()).toBe(false);
    expect(recall(memory, "p1")!.run.deeds).toHaveLength(1);
  });

  // Random loss on the way, presses in between, reloads now and then: in the end the service has
  // every deed exactly once, in the order pressed.
  it("holds under any pattern of loss", async () => {
    let seed = 7;
    const chance = (): number => (seed = (seed * 48271) % 2147483647) / 2147483647;
    for (let round = 0; round < 40; ++round) {
      service = new Service();
      memory = new Memory();
      let queue = new RunQueue(fresh(), memory, service);
      const pressed: string[] = [];
      for (let i = 0; i < 30; ++i) {
        const roll = chance();
        service.lose = [roll < 0.3 ? "wish" : roll < 0.55 ? "answer" : "none"];
        const next = deed({ do: "hit", piece: 1, step: i % 3, set_deg: i });
        pressed.push(next.key);
        const sent = queue.press(next);
        if (chance() < 0.5) await sent;
        if (chance() < 0.15) {
          await sent.catch(() => undefined);
          queue = new RunQueue(recall(memory, "p1")!, memory, service);
        }
      }
      service.lose = [];
      await queue.send();
      await queue.send();
      expect(keys(service.record?.document)).toEqual(pressed);
    }
  });
});

describe("where a run stands", () => {
  const at = (deeds: Deed[]) => stateOf({ ...run, deeds });
  beforeEach(() => (count = 0));

  it("goes from bend to bend and piece to piece", () => {
    const deeds: Deed[] = [];
    for (const index of [0, 1, 2]) {
      deeds.push(deed({ do: "hit", piece: 1, step: index, set_deg: 94 }));
      deeds.push(deed({ do: "read", piece: 1, step: index, read_deg: 90.1 }));
      deeds.push(deed({ do: "bend-done", piece: 1, step: index }));
    }
    expect(at(deeds)).toMatchObject({ piece: 1, step: 3, good: 0 });
    deeds.push(deed({ do: "piece-done", piece: 1, verdict: "good" }));
    expect(at(deeds)).toMatchObject({ piece: 2, step: 0, good: 1 });
    expect(at(deeds).readings).toHaveLength(3);
  });

  it("takes the last press back, and one before it after that", () => {
    const hit = deed({ do: "hit", piece: 1, step: 0, set_deg: 94 });
    const done = deed({ do: "bend-done", piece: 1, step: 0 });
    const back = deed({ do: "take-back", of: done.key });
    expect(at([hit, done]).step).toBe(1);
    expect(at([hit, done, back])).toMatchObject({ step: 0, last: { key: hit.key } });
    const further = deed({ do: "take-back", of: hit.key });
    expect(at([hit, done, back, further]).bends[0]!.hits).toHaveLength(0);
  });

  it("counts a piece once though two stations end it", () => {
    const first = deed({ do: "piece-done", piece: 1, verdict: "good" });
    const second = deed({ do: "piece-done", piece: 1, verdict: "scrap" });
    expect(at([first, second])).toMatchObject({ piece: 2, good: 1, scrap: 0 });
  });

  it("is not upset by deeds that do not fit", () => {
    const deeds = [
      deed({ do: "read", piece: 1, step: 0, read_deg: 88 }),
      deed({ do: "hit", piece: 1, step: 9, set_deg: 88 }),
    ];
    expect(at(deeds)).toMatchObject({ piece: 1, step: 0 });
    expect(at(deeds).bends[0]!.hits).toHaveLength(0);
  });
});
