import { describe, expect, it } from "vitest";
import type { PlanAnswer } from "../../model/answers";
import { stateOf, type Deed, type Pressed, type RunStep } from "../../model/run";
import { documentOf, History, keyedIn, kEmpty, readCell, type Entries } from "./entries";

const row = { straight_mm: 100, rotation_deg: 0, angle_deg: 90, radius_mm: 60 };
const plan = {
  part: { bend_table: [row, row], last_straight_mm: 50, corners_mm: [[0, 0, 0], [1, 0, 0], [2, 0, 0], [3, 0, 0]] },
} as unknown as PlanAnswer;
const typed = (cells: Record<string, string>, rest: Partial<Entries> = {}): Entries => ({
  ...kEmpty,
  ...rest,
  cells,
});

describe("readings typed for a piece", () => {
  it("become the document of a measured piece", () => {
    const entries = typed({ "b1.angle": "89.4", "b2.rotation": "-1.5", last: "51.2", "a.angle": "0.5" });
    expect(documentOf(entries, plan, [94.8, null], "mm", false)).toEqual({
      schema: 1,
      units: "mm",
      piece: "1",
      bends: [{ set: 94.8, angle: 89.4 }, { rotation: -1.5 }],
      last_straight: 51.2,
      agreed: { align: "ends", angle: 0.5 },
    });
  });

  it("take inches where the station has inches", () => {
    const made = documentOf(typed({ last: "2-1/2" }), plan, [], "in", false)!;
    expect(made.last_straight).toBeCloseTo(63.5, 9);
  });

  it("leave points out that were not measured whole", () => {
    const entries = typed({ "p0.x": "0", "p0.y": "0", "p0.z": "0", "p2.x": "5" }, { way: "points" });
    expect(documentOf(entries, plan, [], "mm", false)!.points).toEqual([{ at: [0, 0, 0] }, {}, {}, {}]);
  });

  it("are refused as a whole while one cell cannot be read, or nothing was typed", () => {
    expect(documentOf(typed({ "b1.angle": "ninety" }), plan, [], "mm", false)).toBeNull();
    expect(documentOf(typed({ "a.angle": "0.5" }), plan, [], "mm", false)).toBeNull();
    expect(readCell("b1.angle", "ninety", "mm", false).wrong).toBe(true);
    expect(readCell("b1.straight", "12,5", "mm", true).value).toBe(12.5);
  });

  it("can be taken back and made again", () => {
    const history = new History(kEmpty);
    history.change(typed({ last: "1" }));
    history.change(typed({ last: "2" }));
    expect(history.undo()).toBe(true);
    expect(history.now.cells["last"]).toBe("1");
    expect(history.redo()).toBe(true);
    expect(history.now.cells["last"]).toBe("2");
    history.undo();
    history.change(typed({ last: "3" }));
    expect(history.canRedo).toBe(false);
  });
});

describe("what was keyed in at the bench", () => {
  it("is the last set angle of each bend of the newest piece, in order from end A", () => {
    let count = 0;
    const deed = (what: Pressed): Deed => {
      const at = new Date(++count).toISOString();
      return { key: `k${count}`, at, by: "", ...what };
    };
    const steps = [{ bend: 2 }, { bend: 1 }] as RunStep[];
    const state = stateOf({
      steps,
      events: [
        deed({ do: "hit", piece: 1, step: 1, set: 92 }),
        deed({ do: "hit", piece: 1, step: 1, set: 95 }),
        deed({ do: "measure", piece: 1, step: 1, angle: 90 }),
      ],
    });
    expect(keyedIn(state, steps, 2)).toEqual({ piece: 1, sets: [null, 95], reads: [null, 90] });
    expect(keyedIn(null, steps, 2)).toBeNull();
  });
});
