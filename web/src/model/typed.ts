// Reading what people type: the many ways a keyboard writes the same mark are folded into one.
import { ratio, type Ratio } from "./ratio";

export type Mark = "point" | "comma";

// Why a text is not what it should be. `code` has an entry "typed.<code>" in the catalogue.
export interface Mistyped {
  code:
    | "length.text"
    | "length.comma"
    | "length.fraction"
    | "length.unit"
    | "length.inches"
    | "length.range"
    | "length.positive"
    | "length.mark"
    | "angle.text"
    | "angle.range"
    | "letter";
  typed: string;
  letter?: string; // of "letter": the first that stands where a digit belongs
  meant?: string; // what would be right
}
// What a text about it is filled with.
export const mistypedValues = (why: Mistyped): Record<string, string> => ({ typed: why.typed, letter: why.letter ?? "", meant: why.meant ?? "" });
export type Typed = { ok: true; value: number } | { ok: false; why: Mistyped };

const vulgar: Record<string, string> = {
  "½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
};

// Lower case, plain marks, single spaces: what the readers below understand.
export function plain(text: string): string {
  let out = "";
  for (const char of text.normalize("NFC").toLowerCase()) {
    const fraction = vulgar[char];
    if (fraction) out += /\d$/.test(out) ? ` ${fraction}` : fraction;
    else if ("‐‑‒–—−".includes(char)) out += "-";
    else if ("″”“ʺ".includes(char)) out += '"';
    else if ("′’‘ʹ".includes(char)) out += "'";
    else if ("⁄∕".includes(char)) out += "/";
    else if (char === "º") out += "°";
    else out += /\s/u.test(char) ? " " : char;
  }
  return out.replace(/ +/g, " ").trim();
}

const likeDigits: Record<string, string> = { O: "0", o: "0", l: "1", I: "1", S: "5", B: "8", Z: "2" };

// A letter that looks like the digit that belongs there, where the text would be a number with it.
export function mistakenLetter(text: string): { letter: string; meant: string } | null {
  if (!/\d/.test(text)) return null;
  let letter = "";
  const out = [...text.trim()];
  out.forEach((char, at) => {
    const digit = likeDigits[char];
    if (!digit || !(/[\d.,]/.test(out[at - 1] ?? "") || /[\d.,]/.test(out[at + 1] ?? ""))) return;
    letter ||= char;
    out[at] = digit;
  });
  const meant = out.join("");
  return letter && /^[-+\d., /]+ ?(mm|cm|m|in|ft|deg|["'°]|MPa|GPa|ksi|psi)?$/.test(meant) ? { letter, meant } : null;
}

// The same with a decimal comma read as the point, for documents that write the point. What could
// be thousands as well, as 1,250, stays as it is: nobody guesses.
export function withPoint(text: string, mark: Mark): string {
  if (mark === "comma") return text;
  const split = /^([+-]?)(\d*),(\d+)(\D*)$/.exec(text.trim());
  if (!split || /[.,]/.test(split[4]!)) return text;
  const [, sign, whole, decimals, rest] = split as unknown as [string, string, string, string, string];
  if (maybeThousands(text)) return text;
  return `${sign}${whole || "0"}.${decimals}${rest}`;
}

export function maybeThousands(text: string): boolean {
  return /^[+-]?[1-9]\d{0,2},\d{3}(\D|$)/.test(text.trim());
}

// Digits with or without decimals, exactly; null when it is none or carries the other mark.
export function decimal(text: string, mark: Mark): Ratio | null {
  const parts = text.split(mark === "comma" ? "," : ".");
  if (parts.length > 2) return null;
  const [whole = "", decimals = ""] = parts;
  if (!/^\d*$/.test(whole) || !/^\d*$/.test(decimals)) return null;
  if (parts.length === 2 && decimals === "") return null;
  if (whole === "" && decimals === "") return null;
  if (whole.length > 9 || decimals.length > 20) return null;
  return ratio(BigInt(whole + decimals), 10n ** BigInt(decimals.length));
}
