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

// What a table without a heading usually holds, by the cells of the row that the question quotes.
const usual = ["x,y", "x,y,z", "x,y,z,radius", "straight,rotation,angle", "straight,rotation,angle,radius"];
export function columnsLike(question: string): string[] {
  const cells = /'([^']*\|[^']*)'/.exec(question)?.[1]?.split("|").length;
  return usual.filter((names) => cells === undefined || names.split(",").length === cells);
}
