// What is typed as an answer to a reader's question, as the reader takes it.
import { plain, withPoint } from "./typed";

const lengths = ["radius", "last"];

// A reader takes a bare number for millimetres. Beside a table of inches inches are meant, and the
// answer says so. Anything with a unit of its own stays as it was typed; a decimal
// comma is read as such.
export function answerInUnit(question: string, text: string, unit: "mm" | "in"): string {
  if (!lengths.includes(question)) return text;
  if (unit !== "in") return withPoint(text, "point");
  const bare = plain(withPoint(text, "point"));
  return /^[\d., /-]+$/.test(bare) && /\d/.test(bare) ? `${bare} in` : text;
}
