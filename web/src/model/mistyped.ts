// What is wrong with something typed, in words.
import { writtenMm, type Writing, type Written } from "./lengths";
import { mistypedValues, type Mistyped } from "./typed";
import { tOr } from "./words";

export const mistypedWords = (why: Mistyped): string => tOr(`typed.${why.code}`, why.code, mistypedValues(why));

// Of a length; empty where there is none, or nothing wrong with it.
export function lengthTrouble(value: Written | undefined, writing: Writing): string {
  if (value === undefined || value === "") return "";
  const read = writtenMm(value, writing);
  return read.ok ? "" : mistypedWords(read.why);
}
