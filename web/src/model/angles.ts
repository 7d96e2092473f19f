// Angles as people type them: degrees, with minutes and seconds, or radians where said.
import { decimal, mistakenLetter, plain, type Mark, type Mistyped, type Typed } from "./typed";
import { nearest } from "./ratio";

const degreesMax = 36000;

function read(text: string, mark: Mark): number | Mistyped["code"] {
  const part = String.raw`(\d+(?:[.,]\d+)?|[.,]\d+)`;
  const form = new RegExp(
    `^${part} ?(rad|°|deg|degrees?|d)?(?: ?${part} ?(?:'|min))?(?: ?${part} ?(?:"|sec))?$`,
  ).exec(text);
  if (!form) return "angle.text";
  const [, first, unit, minutes, seconds] = form;
  const values = [first, minutes, seconds].map((s) => (s === undefined ? null : decimal(s, mark)));
  if (!values[0] || (minutes && !values[1]) || (seconds && !values[2])) return "angle.text";
  const [deg, min, sec] = values.map((v) => (v ? nearest(v) : 0)) as [number, number, number];
  if (unit === "rad") return minutes || seconds ? "angle.text" : (deg * 180) / Math.PI;
  if ((minutes || seconds) && unit === undefined) return "angle.text";
  if ((minutes || seconds) && !Number.isInteger(deg)) return "angle.text";
  if (seconds && !Number.isInteger(min)) return "angle.text";
  if (min >= 60 || sec >= 60) return "angle.range";
  return deg + min / 60 + sec / 3600;
}

// The angle in degrees.
export function readAngle(text: string, mark: Mark = "point"): Typed {
  const folded = plain(text);
  const sign = /^[+-]/.exec(folded)?.[0];
  const value = read(sign ? folded.slice(1) : folded, mark);
  const fail = (code: Mistyped["code"]): Typed => {
    const typed = text.trim();
    const mistaken = code === "angle.text" ? mistakenLetter(typed) : null;
    return { ok: false, why: mistaken ? { code: "letter", typed, ...mistaken } : { code, typed } };
  };
  if (typeof value === "string") return fail(value);
  if (value > degreesMax) return fail("angle.range");
  return { ok: true, value: sign === "-" && value !== 0 ? -value : value };
}

// What to store for an angle cell: a number where it is a plain one, else the text as typed.
// A decimal comma is read as such; no angle has thousands.
export function writeAngle(text: string): number | string {
  const typed = text.trim().replace(/^([+-]?\d+),(\d+)(?=\D|$)/, "$1.$2");
  return /^[+-]?\d+(\.\d+)?$/.test(typed) && typed.length < 16 ? Number(typed) : typed;
}
