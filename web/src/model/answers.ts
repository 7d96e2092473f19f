// What the service answers (docs/formats/openapi.yaml). Lengths in mm, angles in degrees, always.
import type { PartDocument } from "./part_document";

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
  front: "A" | "B"; // the end that goes ahead through the clamp
  flipped: boolean; // turned end for end before this step
  straight_mm: number;
  tail_mm: number;
  rotation_deg: number;
  rotation_from: number | null; // the bend that lies flat before the tube is turned
  wheel_deg: number;
  wheel_reset: boolean; // the wheel is set to its zero there
  angle_deg: number;
  set_angle_deg: number;
  set_low_deg: number;
  set_high_deg: number;
  arc_mm: number;
  radius_after_release_mm: number;
  torque_nm: number;
  speed_max_rpm: number | null;
  clearance_mm: number | null; // to machine and room; null: not compared
  nearest: { body: string; hit: boolean } | null;
}
export interface PlacedBend {
  bend: number;
  front: "A" | "B";
}
// A way through the bends, compared with machine and room.
export interface WorkOrder {
  text: string;
  bends: PlacedBend[];
  name: string;
  words: string;
  compared: boolean;
  works: boolean;
  best: boolean;
  stops: number;
  flips: number;
  die_changes: number;
  clearance_mm: number | null;
}
export interface OrdersAnswer {
  bender: string | null;
  orders: (WorkOrder & { taken: boolean; drawn: boolean; reasons: string[] })[];
  findings: Finding[];
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
  order: WorkOrder | null;
  alternatives: WorkOrder[]; // other orders, the best first
  springback: Law | null;
  springbacks: Law[];
  metal: Metal[];
  rules: RuleVerdict[];
  seam: { clock: string; clock_deg: number; off_neutral_deg: number } | null;
  checks: { label: string; value_mm: number }[];
  mass_kg: number;
  findings: Finding[];
}

export interface Segment {
  kind: "straight" | "arc";
  from: Point;
  to: Point;
  length_mm: number;
  bend?: number;
  centre?: Point;
  axis?: Point;
  radius_mm?: number;
  angle_deg?: number;
}
export interface Line extends BendTable {
  corners_mm: Point[];
  developed_length_mm: number;
  start: { at: Point; ahead: Point; inward: Point };
  segments: Segment[];
}
export interface PartCheck {
  errors: Failure[];
  part: PartAnswer | null;
  table: Line | null;
  findings: Finding[];
  units: "mm" | "in";
}
export interface Wish {
  die?: string;
  bender?: string;
  from?: "A" | "B";
  order?: string; // as the service writes it: 2A,1A,3B
}
export interface ToolingLine {
  die: string;
  bender: string;
  fits: boolean;
  why: string;
  radius_mm: number;
  radius_after_mm: number | null;
  used: boolean;
}
export interface BenderLine {
  bender: string;
  fits: boolean;
  why: string;
  used: boolean;
}
export type NumberUnit = "mm" | "deg" | "" | "N m" | "kg" | "%" | "rpm";
export interface Arithmetic {
  key: string;
  title: string;
  value: number;
  unit: NumberUnit;
  formula: string;
  inputs: { symbol: string; meaning: string; value: number; unit: string }[];
  source: string;
}
export interface Remedy {
  finding: number;
  title: string;
  wish?: Wish;
  part?: PartDocument;
}
export interface FullPlan {
  plan: PlanAnswer;
  table: Line;
  bent?: Line;
  tooling: ToolingLine[];
  benders: BenderLine[];
  arithmetic: Arithmetic[];
  remedies: Remedy[];
}
export interface RackUse {
  id: string;
  place: string;
  heat: string;
  length_mm: number;
  sticks: number;
  per_stick: number;
  rest_mm: number;
  taken: number;
  pieces: number;
}
export interface SticksAnswer {
  cut_mm: number;
  pieces: number;
  spare: number;
  kerf_mm: number;
  stick_mm: number;
  per_stick: number;
  rest_mm: number;
  to_buy: number;
  missing: number;
  last_rest_mm: number;
  over_mm: number | null;
  rack: RackUse[];
  findings: Finding[];
}
export interface SpringbackTrial {
  id: string | null; // of its record; null: it came with the question
  set_deg: number;
  finished_deg: number;
  springback_deg: number;
  heat: string;
  date: string;
  who: string;
  own: boolean;
  left_out: string;
}
export interface SpringbackAnswer {
  die: string;
  die_radius_mm: number;
  a_deg: number;
  b: number;
  convention: string;
  basis: string;
  proven: boolean;
  noise_deg: number;
  confidence: number;
  first: { a_deg: number; b: number; basis: string; source: string };
  trials: SpringbackTrial[];
  line: {
    set_deg: number;
    finished_deg: number;
    low_deg: number;
    high_deg: number;
    springback_deg: number;
    springback_low_deg: number;
    springback_high_deg: number;
  }[];
  best_trial: {
    set_deg: number;
    worst_at_deg: number;
    half_now_deg: number;
    half_after_deg: number;
  } | null;
  hits: {
    wanted_deg: number;
    set_deg: number;
    set_low_deg: number;
    set_high_deg: number;
    first_set_deg: number;
    first_finished_deg: number;
    overbend_chance: number;
  }[];
}
export interface Question {
  code: string;
  answer: string;
  text: string;
  where: string;
  choices: { word: string; meaning: string }[];
  form: string;
}
export interface Reading {
  format: string;
  name: string;
  units: "mm" | "in";
  questions: Question[];
  part: PartDocument | null;
  complete: boolean;
  table: Line | null;
  findings: Finding[];
}
export interface JobState {
  job: string;
  state: "running" | "done" | "failed" | "cancelled";
  stage: string;
  progress: number | null;
  seconds: number;
  result?: unknown;
  error?: Failure;
}
export interface Metals {
  name: string;
  grade: string;
  family: string;
  number: string;
  aliases: string[];
  usual: boolean;
  own: boolean; // a material of the shop
  replaces: boolean; // in the place of the built-in one of its name
  id: string | null; // of an own one's record
  rp02_mpa: number;
  rm_mpa: number;
  youngs_mpa: number;
  density_kg_per_m3: number;
  poisson: number;
  elongation_pct: number | null;
  k_mpa: number | null;
  n: number | null;
  provenance: string;
  source: string;
}
export interface ShapeKey {
  key: string;
  kind: "length" | "angle" | "whole" | "choice" | "flag";
  required: boolean;
  meaning: string;
  choices?: string[];
}
export interface Shape {
  name: string;
  title: string;
  keys: ShapeKey[];
}
export interface Catalogue {
  metals: Metals[];
  shapes: Shape[];
  rules: { id: string; code: string; edition: string; clause: string; title: string }[];
  reads: string[];
  writes: { to: string; ending: string; type: string; what: string[] }[];
  units: string[];
}
export interface StockSize {
  designation: string;
  standard: string;
  listed: boolean;
  round: boolean;
  height_mm: number;
  width_mm: number;
  wall_mm: number | null;
  corner_radius_mm: number;
  mass_kg_per_m: number;
  material: string;
  provenance: string;
  source: string;
  notes: { warning: boolean; text: string }[];
}
export interface StockAnswer {
  query: string;
  read_as: string;
  notes: { warning: boolean; text: string }[];
  matches: StockSize[];
  near: StockSize[];
  total: number;
}
export interface DieSetLine {
  id: string;
  name: string;
  radius_mm: number;
  round: boolean; // its groove
  height_mm: number; // what the groove takes in the plane of bending
  width_mm: number;
}
export interface RackSection {
  shape: "round" | "rectangle" | "angle" | "channel";
  height_mm: number; // in the plane of bending
  width_mm: number;
  wall_mm: number | null; // null: solid
  flange_mm: number | null;
  corner_radius_mm: number;
}
export interface RackLine {
  id: string;
  size: string; // as typed
  designation: string;
  material: string;
  heat: string;
  place: string;
  length_mm: number | null;
  pieces: number;
  section: RackSection | null;
}
export interface ShopSummary {
  name: string;
  store: string;
  change: number;
  counts: Record<string, number>;
  groove_slack_mm: number;
  benders: { id: string; name: string; kind: string }[];
  die_sets: DieSetLine[];
  rack: RackLine[];
  trials: number;
  errors: { kind: string; id: string; errors: Failure[] }[];
}
export interface About {
  name: string;
  version: string;
  shop: string;
  store: string;
  demo: boolean;
  pass_needed: boolean;
}
export interface SessionAnswer {
  needed: boolean;
  open: boolean;
  initials: string;
}

// A record of the shop and one line of its list of parts.
export interface Head {
  kind: string;
  id: string;
  revision: number;
  change: number;
  deed: "put" | "undo" | "withdraw" | "restore";
  content_of: number;
  at: string;
  by: string;
  withdrawn: boolean;
  part?: string;
  blob?: string;
}
export interface Rec<Doc = Record<string, unknown>> extends Head {
  document: Doc;
}
export interface PartLine {
  id: string;
  revision: number;
  change: number;
  at: string;
  by: string;
  withdrawn: boolean;
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
  deed: string;
  by: string;
  part?: string;
}
