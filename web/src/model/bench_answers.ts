// What the service answers about a run: checklist, keypad, charts, gauge, trouble. Degrees.
import type { Finding } from "./answers";

export interface ChecklistAnswer {
  items: { id: string; text: string; safety: boolean; source: string }[];
  cautions: string[];
}
export type Asks =
  | "bend" | "die" | "mark" | "feed" | "rotate" | "wheel" | "angle" | "springback" | "set" | "speed";
export interface KeypadAnswer {
  schema: 1;
  bender: string;
  columns: { asks: Asks; head: string; total: string | null }[];
  rows: { step: number; bend: number; cells: string[] }[];
  last_straight_mm?: number;
  arcs_mm?: number;
  note?: string;
  findings: Finding[];
  checklist: ChecklistAnswer;
}

export type Call = "go-on" | "read-again" | "adjust" | "stop";
export type Interval = [number | null, number | null];
export interface Index {
  value: number | null;
  interval: Interval;
}
export interface Watch {
  step: number; // from 1, in the order of working
  from_piece: number;
  heat: string;
  readings: { piece: number; off: number }[];
  chart: {
    sigma: number;
    upper?: number;
    lower?: number;
    smoothed?: number[];
    smoothed_upper?: number[];
    smoothed_lower?: number[];
  };
  signals: { piece: number; pattern: string; words: string; side: -1 | 0 | 1; source: string }[];
  trend: { per_piece: number | null; interval: Interval; level: number | null } | null;
  capability: {
    count: number;
    mean: number;
    sigma_within: number;
    sigma_overall: number;
    share: number;
    cp: Index | null;
    cpk: Index | null;
    pp: Index | null;
    ppk: Index | null;
    beyond: number;
  } | null;
  advice: {
    call: Call;
    reasons: string[];
    measure_piece: number;
    shift_set?: number;
    suspects?: [number, number];
  };
}

export interface RunStatus {
  state: {
    name: string;
    pieces: number;
    good: number;
    rework: number;
    scrap: number;
    ended: boolean;
    next: { piece: number; step: number; bend: number; die: string; set: number } | null;
    to_finish: number | null;
    troubles: { symptom?: string; question?: string; answer?: string }[];
  };
}

export interface Scatter {
  sigma: number | null;
  interval: Interval;
}
export interface GaugeAnswer {
  people: number;
  pieces: number;
  trials: number;
  share: number;
  repeatability: Scatter;
  reproducibility_sigma: number;
  gauge: Scatter;
  piece_sigma: number;
  total_sigma: number;
  share_of_total: number;
  share_of_tolerance: number | null;
  distinct: number;
  offs: { person: string; off: number }[];
}

export interface GuideState {
  symptom: string;
  question: string | null;
  asks: string;
  choices: { answer: string; means: string }[];
  change: { what: string; how: string; source: string; mark: string } | null;
  undo_first: boolean;
  solved: boolean;
  exhausted: boolean;
  log: string[];
}
export interface TroubleAnswer {
  symptoms: { symptom: string; words: string }[];
  guide: GuideState | null;
}
