import { expect, test } from "vitest";
import type { Rec } from "./answers";
import { takenBack } from "./taken_back";

const rec = (id: string, withdrawn: boolean, document: Record<string, unknown>): Rec => ({ kind: "trial", id, withdrawn, document }) as Rec;

test("what was taken back is found by die and tube, and what was taken back just now by itself", () => {
  const same = { die: "38R114", od: "1.5 in", wall: 1.65 };
  const records = [
    rec("a", true, same),
    rec("b", false, same), // counts
    rec("c", true, { ...same, die: "25R75" }),
    rec("d", true, { ...same, od: 40 }),
    rec("e", true, { ...same, wall: 3 }),
    rec("f", true, { ...same, od: "?" }),
    rec("g", true, { die: "25R75", od: 25, wall: 1.5 }),
  ];
  const of = { die: "38R114", od_mm: 38.1, wall_mm: 1.65 };
  expect(takenBack(records, of, new Set()).map((r) => r.id)).toEqual(["a"]);
  expect(takenBack(records, of, new Set(["g", "b"])).map((r) => r.id)).toEqual(["a", "g"]);
});
