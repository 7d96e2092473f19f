// What the service answers. Lengths in mm, angles in degrees, always.

export interface BendRow {
  straight_mm: number;
  rotation_deg: number;
  angle_deg: number;
  radius_mm: number;
}
export interface BendTable {
  bend_table: BendRow[];
  last_straight_mm: number;
}
export type Point = [number, number, number];

export interface Sourced {
  value: number;
  provenance: string;
  source: string;
}
export interface TubeAnswer {
  designation: string;
  round: boolean;
  hollow: boolean;
  height_mm: number;
  width_mm: number;
  wall_mm: number | null;
  corner_radius_mm: number;
  welded: boolean;
  mass_kg_per_m: number;
  material: string;
  heat: string;
  rp02_mpa: Sourced;
  rm_mpa: Sourced;
  youngs_mpa: Sourced;
}
export interface PartAnswer extends BendTable {
  name: string;
  revision: string;
  customer: string;
  drawing: string;
  hand: string; // "LH", "RH" or ""
  quantity: number;
  tube: TubeAnswer;
  corners_mm: Point[];
  radius_is: "die" | "part";
  developed_length_mm: number;
  total_bend_deg: number;
  envelope_mm: { low: Point; high: Point };
}
export interface Finding {
  severity: "stop" | "caution" | "note";
  code: string;
  bend: number | null;
  message: string;
  remedy: string;
  source: string;
  numbers: Record<string, number>;
}
export interface Blank {
  cut_length_mm: number;
  cut_length_low_mm: number;
  cut_length_high_mm: number;
  grip_front_mm: number;
  grip_back_mm: number;
  trim_front_mm: number;
  trim_back_mm: number;
  front_end: "A" | "B";
  proven: boolean;
  basis: string;
}
export interface Step {
  bend: number;
  die: string;
  mark_mm: number;
  mark_from_b_mm: number;
  bend_lies: "towards A" | "towards B";
  die_mark_mm: number | null;
  straight_mm: number;
  rotation_deg: number;
  wheel_deg: number;
  angle_deg: number;
  set_angle_deg: number;
  set_low_deg: number;
  set_high_deg: number;
  arc_mm: number;
  radius_after_release_mm: number;
  torque_nm: number;
  speed_max_rpm: number | null;
}
export interface Law {
  a_deg: number;
  b: number;
  convention: string;
  basis: string;
  proven: boolean;
  die: string;
}
export interface Spread {
  low: number;
  likely: number;
  high: number;
  reason: string;
}
export interface Metal {
  die: string;
  wall_factor: number;
  d_of_bend: number;
  outer_strain: number;
  uniform_elongation: number | null;
  elongation: number | null;
  stretch_ratio: number;
  neutral_shift_mm: number;
  springback_ratio: number;
  wall_outer_mm: Spread;
  wall_inner_mm: Spread;
  ovality_pct: Spread | null;
  wrinkle_quotient: number | null;
  tooling: { rule: string; need: string; message: string; source: string; provenance: string }[];
  mandrel_nose_mm: number | null;
  mandrel_advance_mm: number | null;
  difficulty: number | null;
  torque_nm: { low: number; likely: number; high: number; basis: string };
  speed: { max_rpm: number; advised_rpm: number; limited_by: string; advice: string } | null;
}
export interface RuleVerdict {
  rule: string;
  code: string;
  edition: string;
  clause: string;
  title: string;
  verdict: string;
  value: number;
  limit: number;
  margin: number;
  unit: string;
  message: string;
  source: string;
  provenance: string;
  notice: string;
}
export interface PlanAnswer {
  part: PartAnswer;
  bender: string | null;
  from: "A" | "B";
  bent: BendTable;
  blank: Blank | null;
  steps: Step[];
  springback: Law | null;
  springbacks: Law[];
  metal: Metal[];
  rules: RuleVerdict[];
  seam: { clock: string; clock_deg: number; off_neutral_deg: number } | null;
  checks: { label: string; value_mm: number }[];
  mass_kg: number;
  findings: Finding[];
  tooling?: ToolingLine[];
  arithmetic?: Arithmetic[];
}
export interface ToolingLine {
  die: string;
  bender: string;
  fits: boolean;
  why: string;
}
export interface Arithmetic {
  name: string;
  value: string;
  formula: string;
  inputs: string;
  source: string;
}

// A record of the shop and one line of its list of parts.
export interface Head {
  kind: string;
  id: string;
  revision: number;
  change: number;
  deed: "put" | "undo" | "withdraw" | "restore";
  at: number | string;
  by: string;
  withdrawn: boolean;
  part?: string | null;
  blob?: string | null;
}
export interface Rec<Doc = Record<string, unknown>> extends Head {
  document: Doc;
}
export interface PartLine extends Head {
  name: string;
  customer: string;
  drawing: string;
  tube: string;
  od_mm: number | null;
  wall_mm: number | null;
  radii_mm: number[];
  material: string;
  bends: number;
  hand: string;
  picture: string;
}
export interface Failure {
  code: string;
  where: string;
  message: string;
  remedy: string;
}
export interface Change {
  change: number;
  kind: string;
  id: string;
  revision: number;
  by: string;
  part?: string | null;
}
