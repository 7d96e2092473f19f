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
    | "angle.text"
    | "angle.range";
  typed: string;
}
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
