// A run at the bench: what has been pressed, as a list of deeds that is only ever added to. Where
// the run stands follows from the list, so that two stations, a reload or a lost connection cannot
// bring it into a state nobody pressed: lists are merged by the deeds' keys.

export type Verdict = "good" | "scrap";

interface DeedHead {
  key: string; // its own, never used twice
  at: number; // milliseconds since 1970 of the station that pressed
  by: string; // initials
}
export type Pressed =
  | { do: "check"; item: string } // of the set-up checklist, or of the keypad card
  | { do: "hit"; piece: number; step: number; set_deg: number }
  | { do: "read"; piece: number; step: number; read_deg: number }
  | { do: "bend-done"; piece: number; step: number }
  | { do: "piece-done"; piece: number; verdict: Verdict }
  | { do: "take-back"; of: string } // the deed pressed last is undone
  | { do: "end" };
export type Deed = DeedHead & Pressed;

export interface RunStep {
  bend: number;
  die: string;
  mark_mm: number;
  mark_from_b_mm: number;
  bend_lies: "towards A" | "towards B";
  rotation_deg: number;
  wheel_deg: number;
  angle_deg: number;
  set_angle_deg: number;
  speed_max_rpm: number | null;
}
// The plan as it stood when the run began: a plan changed later does not change a run.
export interface RunDocument {
  schema: 1;
  name: string;
  part_revision: number;
  quantity: number;
  bender: string | null;
  cut_length_mm: number | null;
  steps: RunStep[];
  deeds: Deed[];
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
  ended: boolean;
  last: Deed | null; // what "take back" would take back
}

// Older deeds first; of two at one moment the one with the smaller key.
const before = (a: Deed, b: Deed): number => a.at - b.at || (a.key < b.key ? -1 : a.key > b.key ? 1 : 0);

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
export function stateOf(run: Pick<RunDocument, "steps" | "deeds">): RunState {
  const taken = new Set<string>();
  for (const deed of run.deeds) if (deed.do === "take-back") taken.add(deed.of);
  const checked = new Set<string>();
  const pieces = new Map<number, Piece>();
  const pieceOf = (number: number): Piece => {
    const known = pieces.get(number) ?? freshPiece(run.steps.length);
    pieces.set(number, known);
    return known;
  };
  let ended = false;
  let last: Deed | null = null;
  for (const deed of [...run.deeds].sort(before)) {
    if (deed.do === "take-back" || taken.has(deed.key)) continue;
    last = deed;
    if (deed.do === "check") checked.add(deed.item);
    else if (deed.do === "end") ended = true;
    else if (deed.do === "piece-done") pieceOf(deed.piece).verdict ??= deed.verdict;
    else {
      const bend = pieceOf(deed.piece).bends[deed.step];
      if (!bend) continue;
      if (deed.do === "hit") bend.hits.push({ set_deg: deed.set_deg, read_deg: null });
      else if (deed.do === "bend-done") bend.done = true;
      else {
        const hit = bend.hits.at(-1);
        if (hit) hit.read_deg = deed.read_deg;
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
    ended,
    last,
  };
}

// The readings of one bend in order, over all pieces: what the next piece of it is set from.
export const hitsOf = (state: RunState, piece: number, step: number): Hit[] =>
  state.readings.find((one) => one.piece === piece && one.step === step)?.hits ?? [];
