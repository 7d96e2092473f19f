// Lengths as people type and print them, with the meaning the program itself gives them: an inch
// is 25.4 mm exactly, a fraction is one a rule shows, and what could be read two ways is refused.
import { nearest, plus, ratio, times, type Ratio } from "./ratio";
import { decimal, maybeThousands, mistakenLetter, plain, withPoint, type Mark, type Mistyped, type Typed } from "./typed";

export type Unit = "mm" | "in";
export const inchMm = 25.4;
const longestMm = 1e6;

const toMm: Record<string, [number, number]> = {
  mm: [1, 1], millimetre: [1, 1], millimetres: [1, 1], millimeter: [1, 1], millimeters: [1, 1],
  cm: [10, 1], centimetre: [10, 1], centimetres: [10, 1], centimeter: [10, 1], centimeters: [10, 1],
  m: [1000, 1], metre: [1000, 1], metres: [1000, 1], meter: [1000, 1], meters: [1000, 1],
};
const inchWords = ["in", "in.", '"', "inch", "inches"];

// "1-1/2", "1 1/2", "3/4", "1.5": a count of inches. Null: not one; a code: a fraction no rule has.
function count(text: string, mark: Mark): { value: Ratio; fraction: boolean } | null | "fraction" {
  const split = /^(?:(\d{1,9})(?:-| ))?(\d+)\/(\d+)$/.exec(text);
  if (!split) {
    const value = decimal(text, mark);
    return value && { value, fraction: false };
  }
  const [num, den] = [Number(split[2]), Number(split[3])];
  if (!(den >= 2 && den <= 128 && (den & (den - 1)) === 0) || num >= den) return "fraction";
  return { value: plus(ratio(BigInt(split[1] ?? "0")), ratio(num, den)), fraction: true };
}

type Read = Ratio | Mistyped["code"];

function readFeet(text: string, mark: Mark): Read | null {
  const feet = /^([\d.,]+) ?(?:'|ft\.?|foot|feet)(?: ?-? ?(.+))?$/.exec(text);
  if (!feet) return null;
  const whole = decimal(feet[1]!, mark);
  if (!whole) return "length.text";
  const total = times(whole, 12 * 254, 10);
  if (feet[2] === undefined) return total;
  if (!/^\d+$/.test(feet[1]!)) return "length.text";
  const marked = /^(.*?) ?("|in\.?|inch|inches)$/.exec(feet[2]);
  if (!marked) return "length.unit";
  const inches = count(marked[1]!, mark);
  if (inches === "fraction") return "length.fraction";
  if (!inches) return "length.text";
  if (nearest(inches.value) >= 12) return "length.range";
  return plus(total, times(inches.value, 254, 10));
}

function readPlain(text: string, unit: Unit, mark: Mark): Read {
  const feet = readFeet(text, mark);
  if (feet) return feet;
  const split = /^(.*?\d) ?([a-z]+\.?|")?$/.exec(text);
  if (!split) return "length.text";
  const word = split[2];
  const inches = word === undefined ? unit === "in" : inchWords.includes(word);
  if (word !== undefined && !inches && !(word in toMm)) return "length.unit";
  const read = count(split[1]!, mark);
  if (read === "fraction") return "length.fraction";
  if (!read) return otherMark(split[1]!, mark) ? "length.comma" : "length.text";
  if (inches) return times(read.value, 254, 10);
  if (read.fraction) return word === undefined ? "length.inches" : "length.fraction";
  const [num, den] = toMm[word ?? "mm"]!;
  return times(read.value, num, den);
}

function otherMark(text: string, mark: Mark): boolean {
  return text.includes(mark === "point" ? "," : ".");
}

// The length in millimetres. A number without unit is in `unit`.
export function readLength(text: string, unit: Unit, mark: Mark = "point"): Typed {
  const folded = plain(text);
  const fail = (code: Mistyped["code"]): Typed => {
    const typed = text.trim();
    const mistaken = code === "length.text" || code === "length.unit" ? mistakenLetter(typed) : null;
    if (mistaken) return { ok: false, why: { code: "letter", typed, ...mistaken } };
    if (code === "length.comma" && mark === "point" && maybeThousands(typed)) {
      return { ok: false, why: { code: "length.mark", typed, meant: typed.replace(",", ".") } };
    }
    return { ok: false, why: { code, typed } };
  };
  const sign = /^[+-]/.exec(folded)?.[0];
  const body = sign ? folded.slice(1) : folded;
  if (body === "" || body.startsWith(" ")) return fail("length.text");
  const read = readPlain(body, unit, mark);
  if (typeof read === "string") return fail(read);
  const size = nearest(read);
  if (size > longestMm) return fail("length.range");
  return { ok: true, value: sign === "-" && size !== 0 ? -size : size };
}

export interface LengthLook {
  unit: Unit;
  fractions?: boolean; // inches in sixteenths
  decimals?: number; // else 1 for mm, 3 for inches
}

function fractionText(inches: number, denominator: number): string {
  let num = Math.round(Math.abs(inches) * denominator);
  const whole = Math.floor(num / denominator);
  num -= whole * denominator;
  let den = denominator;
  while (num > 0 && num % 2 === 0) {
    num /= 2;
    den /= 2;
  }
  const minus = inches < 0 && (whole > 0 || num > 0) ? "-" : "";
  if (num === 0) return `${minus}${whole}`;
  return whole === 0 ? `${minus}${num}/${den}` : `${minus}${whole}-${num}/${den}`;
}

// A length for reading, without its unit.
export function showLength(mm: number, look: LengthLook, decimalPoint = "."): string {
  if (!Number.isFinite(mm)) return "?";
  if (look.unit === "in" && look.fractions) return fractionText(mm / inchMm, 16);
  const decimals = look.decimals ?? (look.unit === "in" ? 3 : 1);
  const value = look.unit === "in" ? mm / inchMm : mm;
  let text = value.toFixed(decimals);
  if (Number(text) === 0) text = text.replace("-", "");
  return decimalPoint === "." ? text : text.replace(".", decimalPoint);
}

// A length for an edit field: as short as it can be while meaning the same to a micrometre.
export function editLength(mm: number, unit: Unit, mark: Mark = "point"): string {
  const value = unit === "in" ? mm / inchMm : mm;
  const text = String(Number(value.toFixed(unit === "in" ? 6 : 4)));
  return mark === "comma" ? text.replace(".", ",") : text;
}

// What a document holds where a length belongs: a number in the document's unit, or text.
export type Written = number | string;

export interface Writing {
  unit: Unit; // the document's
  mark: Mark; // the document's, in texts
}

export function writtenMm(written: Written, how: Writing): Typed {
  if (typeof written === "number") {
    return { ok: true, value: how.unit === "in" ? written * inchMm : written };
  }
  return readLength(written, how.unit, how.mark);
}

// Text that says its unit itself, whatever the document's unit is.
export function saysUnit(text: string): boolean {
  return /[a-z"']/.test(plain(text));
}

// What a cell shows of a written length while the page is in `unit`: as typed where that reads the
// same, else converted. Nothing is stored by showing.
export function cellText(written: Written, how: Writing, unit: Unit): string {
  const inUnit = how.unit === unit;
  if (typeof written === "number") {
    return inUnit ? String(written) : editLength(written * (how.unit === "in" ? inchMm : 1), unit);
  }
  const read = writtenMm(written, how);
  if (!read.ok) return written;
  const shownAsTyped = saysUnit(written) ? writtenIn(written) === unit : inUnit;
  return shownAsTyped ? withoutUnit(written) : editLength(read.value, unit);
}

// The heading says the unit: "114.3 mm" below it is 114.3. Other words, as "2 ft 3 in", stay.
function withoutUnit(text: string): string {
  return /^([+-]?[\d.,/ -]*\d) ?(?:mm|in\.?|inch|inches|["”″])$/i.exec(text.trim())?.[1] ?? text;
}

function writtenIn(text: string): Unit {
  return /["']|in|ft|f(oo|ee)t/.test(plain(text)) ? "in" : "mm";
}

// What to store for a cell typed while the page was in `unit`. A plain number in the document's own
// unit becomes a number; anything else stays the text that was typed, with its unit made plain.
export function writeCell(text: string, how: Writing, unit: Unit): Written {
  const typed = withPoint(text.trim(), how.mark);
  if (saysUnit(typed)) return typed;
  if (unit !== how.unit) {
    return readLength(typed, unit, how.mark).ok ? `${typed} ${unit}` : typed;
  }
  return /^[+-]?\d+(\.\d+)?$/.test(typed) && typed.length < 16 ? Number(typed) : typed;
}
