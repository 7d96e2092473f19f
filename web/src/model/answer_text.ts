// What is typed as an answer to a reader's question, as the reader takes it.
import { plain } from "./typed";

const lengths = ["radius", "last"];

// A reader takes a bare number for millimetres. Beside a table of inches inches are meant, and the
// answer says so. Anything with a unit of its own stays as it was typed.
export function answerInUnit(question: string, text: string, unit: "mm" | "in"): string {
  if (unit !== "in" || !lengths.includes(question)) return text;
  const bare = plain(text);
  return /^[\d., /-]+$/.test(bare) && /\d/.test(bare) ? `${bare} in` : text;
}
