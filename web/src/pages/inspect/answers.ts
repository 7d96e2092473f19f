// What the service answers about a measured piece.

import type { Finding } from "../../model/answers";

export interface Change {
  what: string;
  entry: "straight" | "rotation" | "set angle";
  bend: number; // the last straight counts as one bend more
  unit: string;
  wanted: number;
  measured: number | null;
  error: number;
  old: number;
  new: number;
  end_b_mm: number;
  state: "corrected" | "not-read" | "right" | "weak" | "pattern";
  why: string;
}
export interface CorrectionAnswer {
  changes: Change[];
  marks: { bend: number; old_mm: number; new_mm: number }[];
  cut_length_mm: { old: number; new: number };
  points_rms_mm: number | null;
  expected_rms_mm: number | null;
  findings: Finding[];
}
export type Verdict = "within" | "outside" | "undecided" | "not judged";
export interface Line {
  what: string;
  unit: string;
  wanted: number | null;
  measured: number | null;
  off: number;
  limit: number | null;
  error: number;
  verdict: Verdict;
}
export interface Laid {
  align: string;
  words: string;
  verdict: Verdict;
  worst_mm: number;
  zone_mm: number | null;
  points: { name: string; off_mm: [number, number, number]; distance_mm: number; along_mm: number }[];
  lines: Line[];
}
export interface InspectionAnswer {
  piece: string;
  verdict: Verdict;
  readings: Line[];
  laid: Laid[];
  findings: Finding[];
}

// The document of a measured piece, as docs/formats/measured_piece.md has it.
export interface MeasuredBend {
  straight?: number;
  rotation?: number;
  angle?: number;
  set?: number;
}
export interface MeasuredDocument {
  schema: 1;
  units: "mm";
  piece: string;
  who?: string;
  date?: string;
  bends?: MeasuredBend[];
  last_straight?: number;
  points?: { at?: [number, number, number] }[];
  errors?: { angle?: number; rotation?: number; straight?: number; point?: number };
  agreed?: {
    align?: string;
    length?: number;
    angle?: number;
    end?: number;
    corner?: number;
    guard_band?: boolean;
  };
}
