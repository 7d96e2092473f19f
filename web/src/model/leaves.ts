// A document line by line, for people to read: every value with its place, a row of numbers as one.
import type { Json, Path } from "./merge";

export interface Leaf {
  path: Path;
  text: string;
}

const plain = (value: Json): boolean => value === null || typeof value !== "object";
const word = (value: Json): string => (value === null ? "–" : String(value));

export function leaves(value: Json | undefined, path: Path = []): Leaf[] {
  if (value === undefined) return [];
  if (value === null || typeof value !== "object") return [{ path, text: word(value) }];
  if (Array.isArray(value)) {
    if (value.every(plain)) return [{ path, text: value.map(word).join("; ") }];
    return value.flatMap((item, i) => leaves(item, [...path, i]));
  }
  return Object.entries(value).flatMap(([key, item]) => leaves(item, [...path, key]));
}

// The same of one value, on a line.
export function lineOf(value: Json | undefined): string {
  const all = leaves(value);
  if (all.length === 0) return "–";
  const named = ({ path, text }: Leaf): string => {
    const key = path.filter((step) => typeof step === "string").join(" ");
    return key ? `${key.replaceAll("_", " ")} ${text}` : text;
  };
  return all.map(named).join(", ");
}
