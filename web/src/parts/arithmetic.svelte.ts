// The arithmetic that is open, if any; one at a time for the whole page.
import type { Arithmetic } from "../model/answers";

class Shown {
  entry = $state.raw<Arithmetic | null>(null);
}
export const shownArithmetic = new Shown();

export function arithmeticFor(entry: Arithmetic): void {
  shownArithmetic.entry = entry;
}
