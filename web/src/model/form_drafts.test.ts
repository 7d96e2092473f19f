import { expect, test } from "vitest";
import type { Rec } from "./answers";
import { begunWith, draftKey, readDrafts, writeDrafts } from "./form_drafts";
import type { Keeper } from "./queue";

function memory(): Keeper & { map: Map<string, string> } {
  const map = new Map<string, string>();
  return {
    map,
    getItem: (k) => map.get(k) ?? null,
    setItem: (k, v) => void map.set(k, v),
    removeItem: (k) => void map.delete(k),
  };
}
const base = { id: "d1", revision: 3, document: { name: "25R75" } } as unknown as Rec;

test("what was typed is there after a reload, until it is kept or let go", () => {
  const keeper = memory();
  const drafts = {
    [draftKey("die_set", "d1")]: { document: { name: "25R76" }, base },
    [draftKey("tube", "new")]: { document: { size: "25 x 2" }, base: null },
  };
  writeDrafts(keeper, drafts);
  expect(readDrafts(keeper)).toEqual(drafts);
  writeDrafts(keeper, {});
  expect(keeper.map.size).toBe(0);
  expect(readDrafts(keeper)).toEqual({});
});

test("what cannot be read is no draft, and a full store breaks nothing", () => {
  const keeper = memory();
  const place = (() => {
    writeDrafts(keeper, { a: { document: {}, base: null } });
    return [...keeper.map.keys()][0]!;
  })();
  for (const text of ["{", "[]", "3", '{"a":{"document":1,"base":null}}', '{"a":null}', '{"a":{"document":{}}}']) {
    keeper.map.set(place, text);
    expect(readDrafts(keeper), text).toEqual({});
  }
  const full = { ...keeper, setItem: () => { throw new Error("full"); } };
  expect(() => writeDrafts(full, { a: { document: {}, base: null } })).not.toThrow();
});

test("a new entry that was begun with a name is found again; a plain one comes first", () => {
  const one = { document: {}, base: null };
  expect(begunWith({}, "material")).toBe("");
  expect(begunWith({ [draftKey("material", "new", "304L")]: one }, "material")).toBe("304L");
  expect(begunWith({ [draftKey("material", "new", "304L")]: one }, "tube")).toBe("");
  expect(begunWith({ [draftKey("material", "new")]: one, [draftKey("material", "new", "304L")]: one }, "material")).toBe("");
});
