import { describe, expect, it } from "vitest";
import type { PlanAnswer, Rec } from "./answers";
import { notKnown, offersOf, type MeasuredPiece } from "./measured_trials";
import type { RunDocument } from "./run";

const plan = {
  bender: "Wagtail",
  part: { tube: { heat: "S118", height_mm: 25 } },
  steps: [
    { bend: 2, die: "25R60" },
    { bend: 1, die: "25R75" },
  ],
} as unknown as PlanAnswer;
const piece = (document: MeasuredPiece): Rec<MeasuredPiece> =>
  ({ id: "m1", document }) as unknown as Rec<MeasuredPiece>;
const run = {
  bender: "Long bench",
  heat: "S120",
  steps: [{ bend: 2, die: "25R50" }, { bend: 1, die: "25R50" }],
  events: [{ do: "hit", piece: 3, step: 2, set: 94.6 }],
} as unknown as RunDocument;
const measured = piece({
  piece: "3",
  who: "KB",
  date: "2026-11-28",
  bends: [{ set: 94.6, angle: 90.1 }, { set: 47, angle: 45.2 }, { set: 30 }, { angle: 20 }],
});

describe("measured pieces as trial bends", () => {
  it("take die, bender and heat from the run that made the piece, else from the plan", () => {
    const [first, second, ...none] = offersOf([measured], [run], plan);
    expect(none).toEqual([]);
    expect(first).toMatchObject({ bend: 1, set: 94.6, finished: 90.1, die: "25R50", of: "run" });
    expect(first).toMatchObject({ bender: "Long bench", heat: "S120", who: "KB" });
    expect(second).toMatchObject({ bend: 2, die: "25R60", bender: "Wagtail", heat: "S118", of: "plan" });
  });
  it("does not take another piece's hit, or another setting's, for this one", () => {
    const other = { ...run, events: [{ do: "hit", piece: 4, step: 2, set: 94.6 }] } as unknown as RunDocument;
    expect(offersOf([measured], [other], plan)[0]!.of).toBe("plan");
    const set = { ...run, events: [{ do: "hit", piece: 3, step: 2, set: 95 }] } as unknown as RunDocument;
    expect(offersOf([measured], [set], plan)[0]!.of).toBe("plan");
  });
  it("are offered once: what the shop has already is left out", () => {
    const offers = offersOf([measured], [run], plan);
    const known = [{ die: "25R50", od: 25, set: 94.6, finished: 90.1 }];
    expect(notKnown(offers, known, 25).map((one) => one.bend)).toEqual([2]);
    expect(notKnown(offers, [{ ...known[0], od: 38.1 }], 25)).toHaveLength(2);
    expect(notKnown(offers, [{ ...known[0], set: "94.6", finished: "90.1" }], 25)).toHaveLength(1);
  });
});
