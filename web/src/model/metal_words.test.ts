import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { metalsLike } from "./metal_words";

// The program's own table of metals, as far as finding one goes.
const lines = readFileSync(new URL("../../../data/metals.csv", import.meta.url), "utf8").split("\n").filter((line) => line !== "" && !line.startsWith("#"));
const [heads, ...rows] = lines.map((line) => line.match(/("[^"]*"|[^,]*)(,|$)/g)!.map((cell) => cell.replace(/,$/, "").replaceAll('"', "")));
const at = (row: string[], key: string): string => row[heads!.indexOf(key)] ?? "";
const metals = rows.map((row) => ({
  name: at(row, "name"),
  grade: at(row, "grade"),
  family: at(row, "family"),
  number: at(row, "number"),
  aliases: at(row, "aliases").split(";"),
  usual: at(row, "usual") === "yes",
  own: false,
}));
const found = (text: string): string[] => metalsLike(metals, text).map((metal) => metal.name);

test("what a shop says finds what the table calls it", () => {
  for (const text of ["mild steel", "mild", "plain carbon steel", "Low carbon steel"]) {
    expect(found(text)).toContain("S235JRH");
    expect(found(text)).toContain("1020 DOM stress relieved");
    expect(found(text)).not.toContain("304 annealed");
  }
  expect(found("stainless")).toContain("316L annealed");
  expect(found("aluminum")).toContain("6061-T6");
  expect(found("soft copper")).toEqual(["Cu-DHP R220"]);
});

test("words stand anywhere, in names and numbers; usual ones come first", () => {
  expect(found("annealed 304")).toEqual(["304 annealed", "304L annealed"]);
  expect(found("1.4404")).toEqual(["316L annealed"]);
  expect(found("mild")[0]).toBe("1020 DOM stress relieved");
  expect(found("")).toHaveLength(metals.length);
  expect(found("mild 304")).toEqual([]);
});
