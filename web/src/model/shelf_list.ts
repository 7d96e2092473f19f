// The list of a shelf: what is told of each thing, and in which order they stand.
import type { RackLine, Rec } from "./answers";
import { readAngle } from "./angles";
import { showLength, writtenMm, type LengthLook, type Written } from "./lengths";
import { grooveOf, lengthOf, shopWriting } from "./shelf_pictures";
import type { Field, Shelf } from "./shelves";
import { showStress, stressUnit, writtenMpa } from "./stress";
import { decimalMark, number, t, tOr } from "./words";

type Document = Record<string, unknown>;

// As short as it can be: 38.1, not 38.10.
function shortLength(mm: number, look: LengthLook): string {
  const plain = look.unit === "in" && look.fractions ? look : { unit: look.unit, decimals: look.unit === "in" ? 3 : 2 };
  const shown = showLength(mm, plain, decimalMark() === "comma" ? "," : ".");
  return shown.includes("/") ? shown : shown.replace(/([.,]\d*?)0+$/, "$1").replace(/[.,]$/, "");
}
export const withUnit = (mm: number, look: LengthLook): string =>
  `${shortLength(mm, look)} ${t(look.unit === "in" ? "unit.in" : "unit.mm")}`;

// The name of the field, then its value with its unit; nothing where there is none.
export function factOf(field: Field, document: Document, look: LengthLook): string {
  const value = document[field.key];
  const label = t(`shop.${field.key}` as "shop.name");
  if (field.key === "groove") return grooveFact(document, label, look);
  if (value === undefined || value === false || value === "") return "";
  if (field.kind === "flag") return label;
  if (Array.isArray(value)) return value.join(", ");
  if (["place", "date", "who"].includes(field.key)) return String(value);
  if (field.kind === "choice") return tOr(`choice.${String(value)}`, String(value));
  return `${label} ${valueOf(field, value, document, look)}`;
}

function valueOf(field: Field, value: unknown, document: Document, look: LengthLook): string {
  const writing = shopWriting(document);
  if (field.kind === "length") {
    const read = writtenMm(value as Written, writing);
    return read.ok ? withUnit(read.value, look) : String(value);
  }
  if (field.kind === "stress") {
    const read = writtenMpa(value, field.bare ?? "MPa", writing.mark);
    return read.ok ? `${showStress(read.mpa, "MPa", look.unit)} ${stressUnit("MPa", look.unit)}` : String(value);
  }
  if (field.kind === "angle") return /[\d.,]$/.test(String(value)) ? `${String(value)}°` : String(value);
  const shown = typeof value === "number" ? number(value) : String(value);
  return field.unit ? `${shown} ${t(`unit.${field.unit}`)}` : shown;
}

function grooveFact(document: Document, label: string, look: LengthLook): string {
  const groove = grooveOf(document);
  if (!groove) return document["groove"] === undefined ? "" : `${label} ${String(document["groove"])}`;
  if (groove.round) return `${label} ${withUnit(groove.height, look)}`;
  return `${label} ${shortLength(groove.height, look)} × ${withUnit(groove.width, look)}`;
}

export const factsOf = (shelf: Shelf, document: Document, look: LengthLook): string[] =>
  shelf.line
    .map((key) => {
      if (key === "sticks") return sticksFact(document, look);
      if (key === "springback") return springbackFact(document);
      const field = shelf.fields.find((one) => one.key === key);
      return field ? factOf(field, document, look) : "";
    })
    .filter(Boolean);

function sticksFact(document: Document, look: LengthLook): string {
  const pieces = Number(document["pieces"] ?? 1);
  const mm = lengthOf(document, "length");
  return mm === null ? t("shop.sticks", { n: pieces }) : t("shop.sticks_of", { n: pieces, length: withUnit(mm, look) });
}

function springbackFact(document: Document): string {
  const [set, finished] = ["set", "finished"].map((key) => readAngle(String(document[key] ?? ""), shopWriting(document).mark));
  if (!set?.ok || !finished?.ok) return "";
  return t("shop.springback", { angle: number(set.value - finished.value, 1) });
}

// Numbers in names by their size: 25R75 before 110R300.
const byName = new Intl.Collator("en", { numeric: true, sensitivity: "base" }).compare;
const last = Number.POSITIVE_INFINITY;

// What a thing is put in its place by: numbers first, then names.
function rank(kind: Shelf["kind"], record: Rec, rack: ReadonlyMap<string, RackLine>): (number | string)[] {
  const d = record.document;
  const text = (key: string): string => String(d[key] ?? "");
  const mm = (key: string): number => lengthOf(d, key) ?? last;
  const angle = (key: string): number => {
    const read = readAngle(text(key));
    return read.ok ? read.value : last;
  };
  if (kind === "die_set") return [grooveOf(d)?.height ?? last, grooveOf(d)?.width ?? last, mm("radius"), text("name")];
  if (kind === "bender") return [mm("size_max"), mm("die_radius_max"), text("name")];
  if (kind === "tube") {
    const section = rack.get(record.id)?.section;
    const wall = section ? (section.wall_mm ?? section.height_mm / 2) : last;
    return [section?.height_mm ?? last, section?.width_mm ?? last, wall, text("material"), -(lengthOf(d, "length") ?? 0), text("heat")];
  }
  if (kind === "trial") return [mm("od"), mm("wall"), text("die"), text("material"), text("heat"), angle("set")];
  return [text("name")];
}

export function inOrder(kind: Shelf["kind"], records: readonly Rec[], rack: readonly RackLine[]): Rec[] {
  const lines = new Map(rack.map((line) => [line.id, line]));
  return records
    .map((record) => ({ record, rank: rank(kind, record, lines) }))
    .sort((a, b) => {
      for (const [i, one] of a.rank.entries()) {
        const other = b.rank[i]!;
        const by = typeof one === "number" ? (one === other ? 0 : one < Number(other) ? -1 : 1) : byName(one, String(other));
        if (by !== 0) return by;
      }
      return 0;
    })
    .map(({ record }) => record);
}
