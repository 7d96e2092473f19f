// Strengths as people type them, with the meaning the program gives them (docs/formats/shop.md): a
// bare number of a document is MPa, or GPa where the key says so.
import type { Unit } from "./lengths";
import { decimal, plain, withPoint, type Mark } from "./typed";
import { nearest } from "./ratio";

export type Bare = "MPa" | "GPa";
export type StressRead = { ok: true; mpa: number } | { ok: false; code: "stress.text" | "stress.comma" | "stress.unit" };

// 1 psi is 0.45359237 kg under 9.80665 m/s² on a square inch.
const psi = (0.45359237 * 9.80665) / (25.4 * 25.4);
const each: Record<string, number> = {
  mpa: 1, "n/mm2": 1, "n/mm²": 1, gpa: 1e3, "kn/mm2": 1e3, "kn/mm²": 1e3, psi, ksi: 1e3 * psi, msi: 1e6 * psi,
};

export function readStress(text: string, bare: Bare, mark: Mark = "point"): StressRead {
  const split = /^([+-]?[\d.,]+) ?(.*)$/.exec(plain(text));
  if (!split) return { ok: false, code: "stress.text" };
  const size = split[2] === "" ? each[bare.toLowerCase()]! : each[split[2]!];
  if (size === undefined) return { ok: false, code: "stress.unit" };
  const digits = split[1]!.replace(/^\+/, "");
  const value = digits.startsWith("-") ? null : decimal(digits, mark);
  if (value) return { ok: true, mpa: nearest(value) * size };
  return { ok: false, code: digits.includes(mark === "comma" ? "." : ",") ? "stress.comma" : "stress.text" };
}

// What a document holds, in MPa.
export function writtenMpa(value: unknown, bare: Bare, mark: Mark): StressRead {
  if (typeof value === "number") return { ok: true, mpa: value * each[bare.toLowerCase()]! };
  return readStress(String(value), bare, mark);
}

// The unit a station shows strengths in.
export function stressUnit(bare: Bare, unit: Unit): string {
  return unit === "in" ? "ksi" : bare;
}

// A strength for reading, without its unit.
export function showStress(mpa: number, bare: Bare, unit: Unit): string {
  const value = mpa / each[stressUnit(bare, unit).toLowerCase()]!;
  return String(Number(value.toPrecision(unit === "in" || bare === "GPa" ? 4 : 5)));
}

// What a field shows of a written strength: as typed where that is in the station's unit.
export function stressText(value: unknown, bare: Bare, unit: Unit, mark: Mark): string {
  if (value === undefined) return "";
  const read = writtenMpa(value, bare, mark);
  if (!read.ok) return String(value);
  if (typeof value === "number") return unit === "in" ? showStress(read.mpa, bare, unit) : String(value);
  const inches = /si$/.test(plain(String(value)));
  return inches === (unit === "in") ? String(value) : showStress(read.mpa, bare, unit);
}

// What to store for what was typed: a plain number where the document means the same by it, else
// text that says its unit.
export function writeStress(text: string, unit: Unit): number | string | undefined {
  const typed = withPoint(text.trim(), "point");
  if (typed === "") return undefined;
  if (/[a-z]/i.test(typed)) return typed;
  if (unit === "in") return `${typed} ksi`;
  return /^\d+(\.\d+)?$/.test(typed) && typed.length < 16 ? Number(typed) : typed;
}
