// What is typed as an answer to a reader's question, as the reader takes it.
import { plain, withPoint } from "./typed";
import { t } from "./words";

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

// Where a reader found something, as a person counts it: "pasted:4, column 2" is row 4, column 2 of
// what was pasted; in a file the row stands after its name.
export function rowPlace(where: string): string {
  const row = (n: string): string => t("new.row", { n });
  return where
    .replace(/^pasted:(\d+)/, (_, n: string) => row(n))
    .replace(/^pasted(?:, |$)/, "")
    .replace(/^([^:]+\.[a-z]{3,4}):(\d+)/i, (_, file: string, n: string) => `${file}, ${row(n)}`);
}
