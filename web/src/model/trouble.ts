// The walk along the trouble guide that is going on, out of every answer ever given.
import type { Told } from "./run";

// Answers of the newest walk of a symptom: from the last time its first question was answered.
// `from` leaves out what came before the walk was begun anew.
export function answersOf(
  told: readonly Told[],
  symptom: string,
  first_question: string,
  from = 0,
): Told[] {
  const own = told.slice(from).filter((one) => one.symptom === symptom);
  const begins = own.map((one) => one.question).lastIndexOf(first_question);
  return begins < 0 ? [] : own.slice(begins);
}
