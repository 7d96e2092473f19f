import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { readNumber, shelfOf, shelves, withField, wrongField } from "./shelves";

interface Entry {
  properties: Record<string, unknown>;
  required: string[];
}
const schema = JSON.parse(
  readFileSync(new URL("../../../docs/formats/shop.schema.json", import.meta.url), "utf8"),
) as { properties: Record<string, { properties: Record<string, { items: Entry } & Entry> }> };

// The forms offer what docs/formats/shop.schema.json describes, no more, and demand what it demands.
test.each([
  ["die_set", "die_sets.toml"],
  ["bender", "benders.toml"],
  ["trial", "trials.toml"],
  ["material", "materials.toml"],
  ["tube", "stock.toml"],
])("the fields of a %s are those of its schema", (kind, file) => {
  const entry = schema.properties[file]!.properties[kind]!.items;
  const known = new Set(Object.keys(entry.properties));
  const shelf = shelfOf(kind);
  expect(shelf.fields.map((f) => f.key).filter((key) => !known.has(key))).toEqual([]);
  expect(shelf.fields.filter((f) => f.required).map((f) => f.key).sort()).toEqual([...entry.required].sort());
});

test("wrong fields say why", () => {
  const mm = { unit: "mm", mark: "point" } as const;
  const field = (kind: string, key: string) => shelfOf(kind).fields.find((f) => f.key === key)!;
  expect(wrongField(field("die_set", "radius"), undefined, mm)).toBe("typed.empty");
  expect(wrongField(field("die_set", "radius"), "4.5 in", mm)).toBe("");
  expect(wrongField(field("die_set", "radius"), "1/2", mm)).toBe("typed.length.inches");
  expect(wrongField(field("bender", "power_w"), "much", mm)).toBe("typed.number");
  expect(wrongField(field("die_set", "level"), 1.5, mm)).toBe("typed.whole");
  expect(wrongField(field("material", "rp02"), "36 ksi", mm)).toBe("");
  expect(wrongField(field("material", "rp02"), "36 kips", mm)).toBe("typed.stress.unit");
});

test("an emptied field leaves the document", () => {
  expect(withField({ name: "a", note: "b" }, "note", "")).toEqual({ name: "a" });
  expect(withField({ name: "a" }, "benders", [])).toEqual({ name: "a" });
  expect(readNumber("1,5")).toBe(1.5);
  expect(readNumber("1,250")).toBe("1,250"); // thousands, or one and a quarter
  expect(readNumber("x")).toBe("x");
  expect(shelves.length).toBeGreaterThan(3);
});
