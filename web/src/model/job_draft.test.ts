import { expect, test } from "vitest";
import { begun, draftKept, dropDraft, keepDraft, noDraft } from "./job_draft";

function keeper(): { getItem(key: string): string | null; setItem(key: string, value: string): void; removeItem(key: string): void } {
  const held = new Map<string, string>();
  return {
    getItem: (key) => held.get(key) ?? null,
    setItem: (key, value) => void held.set(key, value),
    removeItem: (key) => void held.delete(key),
  };
}

test("what was typed of a new job waits until it is made", () => {
  const here = keeper();
  const draft = { ...noDraft(), name: "Rail", pasted: "X\tY\n0\t0", answers: { units: "mm" } };
  keepDraft(here, draft);
  expect(draftKept(here)).toEqual(draft);
  dropDraft(here);
  expect(draftKept(here)).toBeNull();
});

test("nothing typed is no draft", () => {
  const here = keeper();
  expect(begun({ ...noDraft(), shape: { shape: "s" }, answers: { units: "mm" } })).toBe(false);
  expect(begun({ ...noDraft(), shape: { shape: "u", radius: 50 } })).toBe(true);
  keepDraft(here, { ...noDraft(), name: "Rail" });
  keepDraft(here, noDraft()); // emptied again
  expect(draftKept(here)).toBeNull();
});

test("what cannot be read is no draft", () => {
  const here = keeper();
  for (const text of ["{", "null", "[]", '{"name": 4}']) {
    here.setItem("bight.draft.new", text);
    expect(draftKept(here)).toBeNull();
  }
  const full = { ...here, setItem: () => { throw new Error("full"); } };
  expect(() => keepDraft(full, { ...noDraft(), name: "Rail" })).not.toThrow();
});
