// What stands on each shelf of the shop: the fields of its documents (docs/formats/shop.md, and
// records.md for tube in stock).
import { readAngle } from "./angles";
import { writtenMm, type Writing, type Written } from "./lengths";
import { mistakenLetter, withPoint } from "./typed";
import { writtenMpa, type Bare } from "./stress";

export type FieldKind = "text" | "length" | "angle" | "number" | "whole" | "flag" | "choice" | "names" | "stress" | "texts";
export interface Field {
  key: string;
  kind: FieldKind;
  required?: boolean;
  choices?: string[];
  bare?: Bare; // what a bare number of a strength is
  unit?: "Nm" | "W" | "rpm" | "cm3" | "kg_m3" | "percent"; // of a number
  group?: "more" | "strengths" | "stiffness" | "flow"; // "more": shown when asked for
}
export interface Shelf {
  kind: "die_set" | "bender" | "trial" | "tube" | "house" | "material";
  title: (document: Record<string, unknown>) => string;
  line: string[]; // told in the list: fields, and what follows from several
  fields: Field[];
}

const text = (value: unknown): string => (value === undefined ? "" : String(value));
const f = (key: string, kind: FieldKind, more: Partial<Field> = {}): Field => ({ key, kind, ...more });
const named = (document: Record<string, unknown>): string => text(document["name"]);
const more = { group: "more" as const };
const stress = (key: string, bare: Bare = "MPa"): Field => f(key, "stress", { bare });
// Numbers with where they are from; who says nothing guesses.
export const origins = ["guess", "supplier", "certificate", "measured"];
const saidBy = (group: "strengths" | "stiffness" | "flow", fields: Field[]): Field[] => [
  ...fields.map((field) => ({ ...field, group })),
  f(`${group}_from`, "choice", { choices: origins, group }),
  f(`${group}_source`, "text", { group }),
];

export const shelves: Shelf[] = [
  {
    kind: "die_set",
    title: named,
    line: ["groove", "radius", "clamp", "pressure_die", "tail", "mandrel", "wiper", "benders"],
    fields: [
      f("name", "text", { required: true }),
      f("radius", "length", { required: true }),
      f("groove", "length"),
      f("clamp", "length", { required: true }),
      f("pressure_die", "length"),
      f("tail", "length"),
      f("mandrel", "flag"),
      f("wiper", "flag"),
      f("benders", "names"),
      f("groove_height", "length", more),
      f("groove_width", "length", more),
      f("mark_offset", "length", more),
      f("angle_max", "angle", more),
      f("level", "whole", more),
      f("note", "text", more),
    ],
  },
  {
    kind: "bender",
    title: named,
    line: ["kind", "size_max", "wall_max", "die_radius_max", "torque_max_nm"],
    fields: [
      f("name", "text", { required: true }),
      f("kind", "choice", { choices: ["hand-placed", "carriage-fed", "hand-lever", "three-roll"] }),
      f("size_max", "length", { required: true }),
      f("wall_max", "length"),
      f("die_radius_max", "length", { required: true }),
      f("torque_max_nm", "number", { unit: "Nm" }),
      f("power_w", "number", { unit: "W" }),
      f("angle_max", "angle"),
      f("direction", "choice", { choices: ["clockwise", "counter-clockwise"] }),
      f("degree_wheel", "flag"),
      f("wheel_counts_backwards", "flag", more),
      f("rotation_sign_flipped", "flag", more),
      f("wheel_zero", "angle", more),
      f("angle_step", "angle", more),
      f("section_modulus_max_cm3", "number", { ...more, unit: "cm3" }),
      f("speed_min_rpm", "number", { ...more, unit: "rpm" }),
      f("speed_max_rpm", "number", { ...more, unit: "rpm" }),
      f("grip", "length", more),
      f("travel", "length", more),
      f("feed_min", "length", more),
      f("mandrel_rod", "length", more),
      f("clamp_opens", "length", more),
      f("pressure_die_opens", "length", more),
      f("pressure_die_follows", "flag", more),
      f("lift", "length", more),
      f("note", "text", more),
    ],
  },
  {
    kind: "tube",
    title: (d) => [text(d["size"]), text(d["material"])].filter(Boolean).join(" · "),
    line: ["sticks", "heat", "place"],
    fields: [
      f("size", "text", { required: true }),
      f("material", "text", { required: true }),
      f("heat", "text"),
      f("length", "length"),
      f("pieces", "whole"),
      f("place", "text"),
      f("note", "text"),
    ],
  },
  {
    kind: "material",
    title: named,
    line: ["like", "rp02", "rm", "aliases"],
    fields: [
      f("name", "text", { required: true }),
      f("like", "text"),
      f("aliases", "texts"),
      ...saidBy("strengths", [stress("rp02"), stress("rm"), f("elongation_pct", "number", { unit: "percent" })]),
      ...saidBy("stiffness", [stress("youngs", "GPa"), f("density_kg_per_m3", "number", { unit: "kg_m3" }), f("poisson", "number")]),
      ...saidBy("flow", [stress("k"), f("n", "number")]),
      f("family", "text", more),
      f("spec", "text", more),
      f("condition", "text", more),
      f("note", "text", more),
    ],
  },
  {
    kind: "trial",
    title: (d) => [text(d["die"]), [text(d["od"]), text(d["wall"])].filter(Boolean).join(" × "), text(d["material"])].filter(Boolean).join(" · "),
    line: ["set", "finished", "springback", "heat", "date", "who"],
    fields: [
      f("die", "text", { required: true }),
      f("od", "length", { required: true }),
      f("wall", "length", { required: true }),
      f("material", "text", { required: true }),
      f("set", "angle", { required: true }),
      f("finished", "angle", { required: true }),
      f("heat", "text"),
      f("bender", "text"),
      f("date", "text"),
      f("who", "text"),
      f("blank", "length", more),
      f("leg_a_outside", "length", more),
      f("leg_b_outside", "length", more),
      f("mark", "length", more),
      f("radius_after", "length", more),
    ],
  },
  {
    kind: "house",
    title: named,
    line: ["groove_slack"],
    fields: [f("name", "text", { required: true }), f("groove_slack", "length")],
  },
];

export function shelfOf(kind: string): Shelf {
  return shelves.find((shelf) => shelf.kind === kind) ?? shelves[0]!;
}

// What is wrong with a field before the service is asked: the code of a text, or nothing.
export function wrongField(field: Field, value: unknown, writing: Writing): string {
  const empty = value === undefined || value === "";
  if (empty) return field.required ? "typed.empty" : "";
  if (field.kind === "length") {
    const read = writtenMm(value as Written, writing);
    return read.ok ? "" : `typed.${read.why.code}`;
  }
  if (field.kind === "angle" && typeof value === "string") {
    const read = readAngle(value, writing.mark);
    return read.ok ? "" : `typed.${read.why.code}`;
  }
  if (field.kind === "stress") {
    const read = writtenMpa(value, field.bare ?? "MPa", writing.mark);
    if (!read.ok && mistakenLetter(String(value))) return "typed.letter";
    return read.ok ? "" : `typed.${read.code}`;
  }
  if (field.kind === "number" && typeof value !== "number") return mistakenLetter(String(value)) ? "typed.letter" : "typed.number";
  if (field.kind === "whole" && !Number.isInteger(value)) return mistakenLetter(String(value)) ? "typed.letter" : "typed.whole";
  return "";
}

// The document with a field set, or without it where it is empty.
export function withField(
  document: Record<string, unknown>,
  key: string,
  value: unknown,
): Record<string, unknown> {
  const out = { ...document };
  const empty = value === undefined || value === "" || (Array.isArray(value) && value.length === 0);
  if (empty) delete out[key];
  else out[key] = value;
  return out;
}

export function readNumber(typed: string): number | string {
  const folded = withPoint(typed.trim(), "point");
  return /^[+-]?(\d+(\.\d+)?|\.\d+)$/.test(folded) ? Number(folded) : typed;
}
