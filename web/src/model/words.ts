// Every text of the page by its key, in the language of the person in front of it.
// A language is one file beside en.json with the same keys; "@direction" says how it runs.
import en from "../locales/en.json";

export type Word = keyof typeof en;
type Plural = { one?: string; two?: string; few?: string; many?: string; zero?: string; other: string };
export type Catalogue = Partial<Record<Word, string | Plural>>;
export type Values = Record<string, string | number>;

interface Language {
  tag: string;
  words: Catalogue;
  plural: Intl.PluralRules;
}

function language(tag: string, words: Catalogue): Language {
  return { tag, words, plural: new Intl.PluralRules(tag) };
}

const english = language("en", en as Catalogue);
let spoken = english;

// Changes the language; keys the catalogue lacks are said in English.
export function speak(tag: string, words: Catalogue): void {
  spoken = language(tag, words);
}

export function languageTag(): string {
  return spoken.tag;
}

export function direction(): "ltr" | "rtl" {
  return spoken.words["@direction"] === "rtl" ? "rtl" : "ltr";
}

function fill(text: string, values: Values): string {
  return text.replace(/\{(\w+)\}/g, (whole, name: string) => {
    const value = values[name];
    if (value === undefined) return whole;
    return typeof value === "number" ? number(value) : value;
  });
}

// The text of a key. {name} in it is filled from values; a text with plural forms takes the one
// that fits values.n.
export function t(word: Word, values: Values = {}): string {
  const text = spoken.words[word] ?? english.words[word];
  if (text === undefined) return word;
  if (typeof text === "string") return fill(text, values);
  const form = spoken.plural.select(Number(values["n"] ?? 0));
  return fill(text[form] ?? text.other, values);
}

// The text of a key put together at run time, or the fallback when there is none.
export function tOr(key: string, fallback: string, values: Values = {}): string {
  return key in en ? t(key as Word, values) : fallback;
}

// A number as this language writes it.
export function number(value: number, decimals?: number): string {
  const digits =
    decimals === undefined
      ? { maximumFractionDigits: 6 }
      : { minimumFractionDigits: decimals, maximumFractionDigits: decimals };
  return new Intl.NumberFormat(spoken.tag, { ...digits, useGrouping: false }).format(value);
}

export function decimalMark(): "point" | "comma" {
  return number(0.5, 1).includes(",") ? "comma" : "point";
}

// Clock and calendar as the reader's own land writes them, where it speaks the page's language.
const clockTag = (): string =>
  globalThis.navigator?.languages?.find((tag) => tag.split("-")[0] === spoken.tag.split("-")[0]) ??
  spoken.tag;

// A moment: the time for today, else day and time.
export function moment(ms: number, now: number = Date.now()): string {
  const at = new Date(ms);
  const today = new Date(now).toDateString() === at.toDateString();
  return new Intl.DateTimeFormat(
    clockTag(),
    today ? { timeStyle: "short" } : { dateStyle: "medium", timeStyle: "short" },
  ).format(at);
}
