// A run at the bench: what has been pressed, as a list of deeds that is only ever added to. Where
// the run stands follows from the list, so that two stations, a reload or a lost connection cannot
// bring it into a state nobody pressed: lists are merged by the deeds' keys.

import type { BendRow } from "./answers";
import type { ChecklistAnswer, KeypadAnswer } from "./bench_answers";

export type Verdict = "good" | "scrap";

// One answer along the trouble guide.
export interface Told {
  symptom: string;
  question: string;
  answer: string;
}
interface DeedHead {
  key: string; // its own, never used twice; no spaces
  at: string; // UTC to the millisecond, by the clock of the station that pressed
  by: string; // initials
}
export type Pressed =
  | { do: "check"; item: string } // of the set-up checklist, or of the keypad card
  | { do: "hit"; piece: number; step: number; set: number }
  | { do: "measure"; piece: number; step: number; angle: number }
  | { do: "done"; piece: number; step: number }
  | { do: "finish"; piece: number; verdict: Verdict }
  | { do: "set"; step: number; from_piece: number; set: number } // from this piece on
  | ({ do: "trouble" } & Told)
  | { do: "take-back"; of: string } // the deed pressed last is undone
  | { do: "end" };
export type Deed = DeedHead & Pressed;

// The document of a record of kind run, as docs/formats/run.md has it. Steps count from 1.
export interface RunDocument {
  schema: 1;
  name: string;
  part: string;
  part_id: string;
  bender?: string;
  material?: string;
  heat?: string;
  pieces: number;
  steps: { bend: number; die: string; angle: number; set: number; tolerance: number }[];
  events: Deed[];
}

// The plan as it stood when the run began: a plan changed later does not change a run. Kept beside
// the run as an attachment of the same id.
export interface RunStep {
  bend: number;
  die: string;
  mark_mm: number;
  mark_from_b_mm: number;
  bend_lies: "towards A" | "towards B";
  arc_mm: number;
  rotation_deg: number;
  wheel_deg: number;
  angle_deg: number;
  set_angle_deg: number;
  speed_max_rpm: number | null;
}
export interface RunPlan {
  name: string; // for whoever lists attachments
  part_revision: number;
  cut_length_mm: number | null;
  steps: RunStep[];
  // Since then kept, too: what runs begun earlier lack is asked of the plan as it is now.
  bend_table?: BendRow[];
  checklist?: ChecklistAnswer | null;
  keypad?: KeypadAnswer | null;
}

export interface Hit {
  set_deg: number;
  read_deg: number | null;
}
export interface BendState {
  hits: Hit[];
  done: boolean;
}
export interface RunState {
  checked: ReadonlySet<string>;
  piece: number; // being made, from 1
  step: number; // the next to make, 0-based; equals the number of steps when all are made
  bends: BendState[]; // of this piece
  good: number;
  scrap: number;
  readings: { piece: number; step: number; hits: Hit[] }[]; // of all pieces, finished bends too
  sets: { step: number; from_piece: number; set_deg: number }[]; // told, in order; step 0-based
  troubles: (Told & { key: string })[];
  ended: boolean;
  last: Deed | null; // what "take back" would take back
}

// Older deeds first; of two at one moment the one with the smaller key.
const order = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);
const before = (a: Deed, b: Deed): number => order(a.at, b.at) || order(a.key, b.key);

// A moment not before the last deed's: a clock set back must not reorder what was pressed.
export function momentAfter(deeds: readonly Deed[], now_ms: number): string {
  const last = deeds.at(-1);
  const least_ms = last ? Date.parse(last.at) + 1 : 0;
  return new Date(Math.max(now_ms, least_ms)).toISOString();
}

// All deeds of both lists, each once.
export function merged(a: readonly Deed[], b: readonly Deed[]): Deed[] {
  const all = new Map<string, Deed>();
  for (const deed of [...a, ...b]) if (!all.has(deed.key)) all.set(deed.key, deed);
  return [...all.values()].sort(before);
}

export const lacks = (has: readonly Deed[], wants: readonly Deed[]): boolean => {
  const keys = new Set(has.map((deed) => deed.key));
  return wants.some((deed) => !keys.has(deed.key));
};

interface Piece {
  bends: BendState[];
  verdict: Verdict | null;
}

function freshPiece(num_steps: number): Piece {
  return {
    bends: Array.from({ length: num_steps }, () => ({ hits: [], done: false })),
    verdict: null,
  };
}

// Where a run stands after its deeds. Deeds that do not fit (a bend the part does not have, a
// second end of the same piece pressed at another station) change nothing.
export function stateOf(run: { steps: readonly unknown[]; events: readonly Deed[] }): RunState {
  const taken = new Set<string>();
  for (const deed of run.events) if (deed.do === "take-back") taken.add(deed.of);
  const checked = new Set<string>();
  const pieces = new Map<number, Piece>();
  const pieceOf = (number: number): Piece => {
    const known = pieces.get(number) ?? freshPiece(run.steps.length);
    pieces.set(number, known);
    return known;
  };
  const sets: RunState["sets"] = [];
  const troubles: RunState["troubles"] = [];
  let ended = false;
  let last: Deed | null = null;
  for (const deed of [...run.events].sort(before)) {
    if (deed.do === "take-back" || taken.has(deed.key)) continue;
    last = deed;
    if (deed.do === "check") checked.add(deed.item);
    else if (deed.do === "end") ended = true;
    else if (deed.do === "set") {
      sets.push({ step: deed.step - 1, from_piece: deed.from_piece, set_deg: deed.set });
    } else if (deed.do === "trouble") {
      const { key, symptom, question, answer } = deed;
      troubles.push({ key, symptom, question, answer });
    }
    else if (deed.do === "finish") pieceOf(deed.piece).verdict ??= deed.verdict;
    else {
      const bend = pieceOf(deed.piece).bends[deed.step - 1];
      if (!bend) continue;
      if (deed.do === "hit") bend.hits.push({ set_deg: deed.set, read_deg: null });
      else if (deed.do === "done") bend.done = true;
      else {
        const hit = bend.hits.at(-1);
        if (hit) hit.read_deg = deed.angle;
      }
    }
  }
  let piece = 1;
  while (pieces.get(piece)?.verdict) ++piece;
  const bends = (pieces.get(piece) ?? freshPiece(run.steps.length)).bends;
  const open = bends.findIndex((bend) => !bend.done);
  const verdicts = [...pieces.values()].map((one) => one.verdict);
  const readings = [...pieces]
    .sort(([a], [b]) => a - b)
    .flatMap(([number, one]) => one.bends.map((bend, step) => ({ piece: number, step, ...bend })))
    .filter((bend) => bend.hits.length > 0)
    .map(({ piece: number, step, hits }) => ({ piece: number, step, hits }));
  return {
    checked,
    piece,
    step: open < 0 ? bends.length : open,
    bends,
    good: verdicts.filter((verdict) => verdict === "good").length,
    scrap: verdicts.filter((verdict) => verdict === "scrap").length,
    readings,
    sets,
    troubles,
    ended,
    last,
  };
}
