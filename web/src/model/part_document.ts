// A part document (docs/formats/part.md) and its table as a grid of cells. Nothing is changed in
// place; every function gives a new document.
import { readAngle } from "./angles";
import { writtenMm, type Unit, type Writing, type Written } from "./lengths";
import type { Mistyped } from "./typed";

export interface BendEntry {
  straight: Written;
  rotation?: Written;
  angle?: Written;
  included?: Written;
  radius?: Written;
}
export interface LineDocument {
  corners?: Written[][];
  radius?: Written;
  radii?: Written[];
  bends?: BendEntry[];
  last?: Written;
  shape?: string;
  dimensions_to?: "centre" | "outside" | "inside" | "left" | "right";
  radius_to?: "centre" | "outside" | "inside";
  radius_is?: "part" | "die";
  angles?: "bend" | "included";
  rotations?: "relative" | "absolute";
  [key: string]: unknown;
}
export interface TubeDocument {
  material: string;
  size?: string;
  od?: Written;
  wall?: Written;
  height?: Written;
  width?: Written;
  corner_radius?: Written;
  solid?: boolean;
  way?: "easy" | "hard";
  seam?: "welded" | "seamless";
  heat?: string;
  certificate?: Record<string, unknown>;
}
export interface EndDocument {
  trim?: Written;
  detail?: string;
}
export interface PartDocument {
  schema: 1;
  name: string;
  units?: Unit;
  decimal_mark?: "point" | "comma";
  revision?: string;
  customer?: string;
  drawing?: string;
  note?: string;
  hand?: "left" | "right";
  quantity?: number;
  rules?: string[];
  tube: TubeDocument;
  line: LineDocument;
  ends?: { a?: EndDocument; b?: EndDocument };
  tolerance?: { length?: Written; angle?: Written };
}

export type Form = "corners" | "bends" | "shape";
export type ColumnKey = "x" | "y" | "z" | "straight" | "rotation" | "angle" | "radius";
export interface Column {
  key: ColumnKey;
  kind: "length" | "angle";
}

const cornerColumns: Column[] = [
  { key: "x", kind: "length" },
  { key: "y", kind: "length" },
  { key: "z", kind: "length" },
  { key: "radius", kind: "length" },
];
const bendColumns: Column[] = [
  { key: "straight", kind: "length" },
  { key: "rotation", kind: "angle" },
  { key: "angle", kind: "angle" },
  { key: "radius", kind: "length" },
];
const axes = ["x", "y", "z"];

export function formOf(document: PartDocument): Form {
  if (document.line.shape !== undefined) return "shape";
  return document.line.bends !== undefined ? "bends" : "corners";
}

export function writingOf(document: PartDocument): Writing {
  return { unit: document.units ?? "mm", mark: document.decimal_mark ?? "point" };
}

export function columnsOf(document: PartDocument): Column[] {
  return formOf(document) === "bends" ? bendColumns : cornerColumns;
}

// Corners from end A to end B; or bends with one more row for the last straight.
export function rowsOf(document: PartDocument): number {
  const form = formOf(document);
  if (form === "shape") return 0;
  if (form === "bends") return (document.line.bends?.length ?? 0) + 1;
  return document.line.corners?.length ?? 0;
}

// What a cell holds; null where the table has no such cell (the radius at an end).
export function cellOf(document: PartDocument, row: number, column: ColumnKey): Written | null {
  const { line } = document;
  if (formOf(document) === "corners") {
    const axis = axes.indexOf(column);
    if (axis >= 0) return line.corners?.[row]?.[axis] ?? "";
    if (row === 0 || row === rowsOf(document) - 1) return null;
    return line.radii?.[row - 1] ?? line.radius ?? "";
  }
  const entry = line.bends?.[row];
  if (!entry) return column === "straight" ? (line.last ?? "") : null;
  if (column === "straight") return entry.straight;
  if (column === "rotation") return row === 0 ? (entry.rotation ?? 0) : (entry.rotation ?? 0);
  if (column === "angle") return entry.angle ?? entry.included ?? "";
  return entry.radius ?? line.radius ?? "";
}

// The cell's place as the service names it in complaints.
export function pathOf(document: PartDocument, row: number, column: ColumnKey): string {
  if (formOf(document) === "corners") {
    const axis = axes.indexOf(column);
    if (axis >= 0) return `line.corners[${row}][${axis}]`;
    return document.line.radii ? `line.radii[${row - 1}]` : "line.radius";
  }
  const entry = document.line.bends?.[row];
  if (!entry) return "line.last";
  if (column === "radius" && entry.radius === undefined) return "line.radius";
  const key = column === "angle" && entry.angle === undefined && entry.included !== undefined;
  return `line.bends[${row}].${key ? "included" : column}`;
}

function withLine(document: PartDocument, line: LineDocument): PartDocument {
  return { ...document, line };
}

function setCornerCell(
  document: PartDocument,
  row: number,
  column: ColumnKey,
  value: Written,
): PartDocument {
  const { line } = document;
  const axis = axes.indexOf(column);
  const corners = line.corners ?? [];
  if (axis >= 0) {
    const changed = corners.map((point, i) =>
      i === row ? point.map((old, k) => (k === axis ? value : old)) : point,
    );
    return withLine(document, { ...line, corners: changed });
  }
  const inner = corners.length - 2;
  if (row < 1 || row > inner) return document;
  const radii = Array.from({ length: inner }, (_, i) => line.radii?.[i] ?? line.radius ?? "");
  radii[row - 1] = value;
  return withLine(document, withRadii(line, radii));
}

// One radius where all are the same, else one for each inner corner.
function withRadii(line: LineDocument, radii: Written[]): LineDocument {
  const rest = { ...line };
  delete rest.radii;
  delete rest.radius;
  const first = radii[0];
  if (first !== undefined && radii.every((r) => r === first)) return { ...rest, radius: first };
  return radii.length > 0 ? { ...rest, radii } : { ...rest, ...keepRadius(line) };
}

function keepRadius(line: LineDocument): { radius?: Written } {
  const radius = line.radius ?? line.radii?.[0];
  return radius === undefined ? {} : { radius };
}

function setBendCell(
  document: PartDocument,
  row: number,
  column: ColumnKey,
  value: Written,
): PartDocument {
  const { line } = document;
  const bends = line.bends ?? [];
  if (row === bends.length) {
    return column === "straight" ? withLine(document, { ...line, last: value }) : document;
  }
  const changed = bends.map((entry, i) => {
    if (i !== row) return entry;
    const included = column === "angle" && entry.angle === undefined && "included" in entry;
    return { ...entry, [included ? "included" : column]: value };
  });
  const all = { ...line, bends: changed };
  // An empty radius for all says nothing once a bend has its own, and would be complained about.
  if (column === "radius" && line.radius === "") delete all.radius;
  return withLine(document, all);
}

export function setCell(
  document: PartDocument,
  row: number,
  column: ColumnKey,
  value: Written,
): PartDocument {
  const form = formOf(document);
  if (form === "shape" || row < 0 || row >= rowsOf(document)) return document;
  if (cellOf(document, row, column) === null) return document;
  return form === "corners"
    ? setCornerCell(document, row, column, value)
    : setBendCell(document, row, column, value);
}

// The same radius for every bend.
export function setAllRadii(document: PartDocument, value: Written): PartDocument {
  const { line } = document;
  const rest = { ...line };
  delete rest.radii;
  const bends = line.bends?.map((entry) => {
    const changed = { ...entry };
    delete changed.radius;
    return changed;
  });
  return withLine(document, { ...rest, ...(bends ? { bends } : {}), radius: value });
}

// A row before `at`: a corner halfway to the next, or a bend that is straight until it is given.
export function insertRow(document: PartDocument, at: number): PartDocument {
  const { line } = document;
  const form = formOf(document);
  if (form === "shape") return document;
  if (form === "bends") {
    const bends = [...(line.bends ?? [])];
    bends.splice(Math.min(at, bends.length), 0, { straight: "", rotation: 0, angle: "" });
    return withLine(document, { ...line, bends });
  }
  const corners = [...(line.corners ?? [])];
  corners.splice(at, 0, ["", "", ""]);
  if (!line.radii) return withLine(document, { ...line, corners });
  const radii = [...line.radii];
  radii.splice(Math.max(0, Math.min(at - 1, radii.length)), 0, radii[radii.length - 1] ?? "");
  return withLine(document, { ...line, corners, radii });
}

// Without the rows from..to. Two corners, and the last straight, always remain.
export function deleteRows(document: PartDocument, from: number, to: number): PartDocument {
  const { line } = document;
  const form = formOf(document);
  const gone = (i: number): boolean => i >= from && i <= to;
  if (form === "bends") {
    return withLine(document, { ...line, bends: (line.bends ?? []).filter((_, i) => !gone(i)) });
  }
  if (form === "shape") return document;
  const corners = (line.corners ?? []).filter((_, i) => !gone(i));
  if (corners.length < 2) return document;
  if (!line.radii) return withLine(document, { ...line, corners });
  const kept = line.radii.filter((_, i) => !gone(i + 1)).slice(0, corners.length - 2);
  return withLine(document, withRadii({ ...line, corners }, kept));
}

// Cells of a spreadsheet or a text: rows by line, columns by tab, semicolon or spaces.
export function blockOf(text: string): string[][] {
  const rows = text.replace(/\r\n?/g, "\n").replace(/\n+$/, "").split("\n");
  const mark = text.includes("\t") ? "\t" : text.includes(";") ? ";" : null;
  return rows.map((row) => (mark ? row.split(mark) : [row]).map((cell) => cell.trim()));
}

// Lays a block over the table with its first cell at row, column; the table grows downwards.
export function pasteBlock(
  document: PartDocument,
  row: number,
  column: ColumnKey,
  block: string[][],
  write: (text: string, kind: "length" | "angle") => Written,
): PartDocument {
  const columns = columnsOf(document);
  const first = columns.findIndex((c) => c.key === column);
  let out = document;
  const needed = row + block.length;
  while (rowsOf(out) < needed && rowsOf(out) < 402) {
    out = insertRow(out, formOf(out) === "bends" ? rowsOf(out) - 1 : rowsOf(out));
  }
  block.forEach((cells, r) => {
    cells.forEach((text, c) => {
      const target = columns[first + c];
      if (target) out = setCell(out, row + r, target.key, write(text, target.kind));
    });
  });
  return out;
}

// What is wrong with a cell as it stands, before the service is asked.
export function mistypedCell(
  document: PartDocument,
  row: number,
  column: Column,
): Mistyped | null {
  const value = cellOf(document, row, column.key);
  if (value === null) return null;
  if (column.kind === "angle") {
    if (typeof value === "number") return null;
    const read = readAngle(value, writingOf(document).mark);
    return read.ok ? null : read.why;
  }
  const read = writtenMm(value, writingOf(document));
  if (!read.ok) return read.why;
  const positive = column.key === "radius" || column.key === "straight";
  const least = column.key === "radius" ? read.value > 0 : read.value >= 0;
  return positive && !least ? { code: "length.positive", typed: String(value) } : null;
}

export function blankPart(name: string, unit: Unit): PartDocument {
  return {
    schema: 1,
    name,
    units: unit,
    tube: { material: "" },
    line: {
      corners: [
        ["", "", ""],
        ["", "", ""],
        ["", "", ""],
      ],
      radius: "",
    },
  };
}

const typed = (value: Written | undefined): boolean => value !== undefined && String(value).trim() !== "";
const turned = (bend: BendEntry): boolean => typed(bend.rotation) && Number(bend.rotation) !== 0;

// Whether no cell of the table holds anything yet; the radius for all may stand already.
export function untouched({ line }: PartDocument): boolean {
  const bends = line.bends ?? [];
  return (
    line.shape === undefined &&
    !(line.corners ?? []).flat().some(typed) &&
    !(line.radii ?? []).some(typed) &&
    !bends.some((bend) => [bend.straight, bend.angle, bend.included, bend.radius].some(typed) || turned(bend)) &&
    !typed(line.last)
  );
}

// An untouched table in the other form: there is nothing to convert, only a way to begin.
export function begunAs(document: PartDocument, form: "corners" | "bends"): PartDocument {
  const { radius = "", radius_to } = document.line;
  const empty =
    form === "bends"
      ? { bends: [{ straight: "", rotation: 0, angle: "" }], last: "" }
      : { corners: blankPart("", "mm").line.corners! };
  return withLine(document, { ...empty, radius, ...(radius_to ? { radius_to } : {}) });
}
