// Two people changed the same document: what each did, and what follows from both. Documents are
// compared value by value along their keys; lists of the same length row by row, others as a whole.

export type Json = null | boolean | number | string | Json[] | { [key: string]: Json };
export type Path = (string | number)[];

export interface Contest {
  path: Path;
  base: Json | undefined;
  mine: Json | undefined;
  theirs: Json | undefined;
}
export interface Merged {
  document: Json; // theirs and mine together; contests hold mine
  contests: Contest[]; // changed by both, differently
  onlyMine: Contest[];
  onlyTheirs: Contest[];
}

export function same(a: Json | undefined, b: Json | undefined): boolean {
  if (a === b) return true;
  if (a === undefined || b === undefined || a === null || b === null) return false;
  if (Array.isArray(a) || Array.isArray(b)) {
    if (!Array.isArray(a) || !Array.isArray(b) || a.length !== b.length) return false;
    return a.every((item, i) => same(item, b[i]));
  }
  if (typeof a !== "object" || typeof b !== "object") return false;
  const keys = new Set([...Object.keys(a), ...Object.keys(b)]);
  return [...keys].every((key) => same(a[key], b[key]));
}

function isTable(value: Json | undefined): value is { [key: string]: Json } {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

export function merge(base: Json, mine: Json, theirs: Json): Merged {
  const found: Omit<Merged, "document"> = { contests: [], onlyMine: [], onlyTheirs: [] };

  const join = (
    path: Path,
    b: Json | undefined,
    m: Json | undefined,
    t: Json | undefined,
  ): Json | undefined => {
    if (same(m, t)) return m;
    if (isTable(m) && isTable(t) && (isTable(b) || b === undefined)) {
      const out: { [key: string]: Json } = {};
      for (const key of new Set([...Object.keys(t), ...Object.keys(m)])) {
        const value = join([...path, key], b?.[key], m[key], t[key]);
        if (value !== undefined) out[key] = value;
      }
      return out;
    }
    if (Array.isArray(m) && Array.isArray(t) && Array.isArray(b)) {
      if (m.length === t.length && m.length === b.length) {
        return m.map((item, i) => join([...path, i], b[i], item, t[i]) ?? null);
      }
    }
    const contest = { path, base: b, mine: m, theirs: t };
    if (same(b, m)) {
      found.onlyTheirs.push(contest);
      return t;
    }
    if (same(b, t)) {
      found.onlyMine.push(contest);
      return m;
    }
    found.contests.push(contest);
    return m;
  };
  return { document: join([], base, mine, theirs) ?? null, ...found };
}

// The document with another value at a path; undefined takes the key away.
export function withValue(document: Json, path: Path, value: Json | undefined): Json {
  const [head, ...rest] = path;
  if (head === undefined) return value ?? null;
  if (Array.isArray(document)) {
    return document.map((item, i) => (i === head ? withValue(item, rest, value) : item));
  }
  const table = isTable(document) ? { ...document } : {};
  if (rest.length === 0 && value === undefined) delete table[String(head)];
  else table[String(head)] = withValue(table[String(head)] ?? {}, rest, value);
  return table;
}

// line.corners[2][1], as the service names places.
export function pathText(path: Path): string {
  return path
    .map((step, i) => (typeof step === "number" ? `[${step}]` : i === 0 ? step : `.${step}`))
    .join("");
}

// What differs between two documents, each difference as small as can be.
export function differences(before: Json, after: Json): Contest[] {
  return merge(before, before, after).onlyTheirs;
}
