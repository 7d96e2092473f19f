// Measured pieces as trial bends: what a bend was set to and what it came to is a trial, whoever
// measured it and wherever.
import type { PlanAnswer, Rec } from "./answers";
import type { RunDocument } from "./run";

export interface MeasuredPiece {
  piece?: string;
  who?: string;
  date?: string;
  bends?: { set?: unknown; angle?: unknown }[];
}
export interface OfferedTrial {
  measurement: string; // id of its record
  piece: string;
  bend: number; // from end A
  set: number;
  finished: number;
  die: string;
  bender: string | null;
  heat: string;
  of: "run" | "plan"; // where die and bender are known from
  who: string;
  date: string;
}
export interface KnownTrial {
  die?: unknown;
  od?: unknown;
  set?: unknown;
  finished?: unknown;
}

const kSame_deg = 0.05;
const near = (a: unknown, b: number, most: number): boolean => Math.abs(Number(a) - b) <= most;

// The run a piece was made in: the newest that set this bend of this piece so.
function madeIn(
  runs: readonly RunDocument[],
  piece: string,
  bend: number,
  set: number,
): { die: string; bender: string | null; heat: string } | null {
  for (const run of runs) {
    const step = run.steps.findIndex((one) => one.bend === bend);
    const made = run.events?.some(
      (deed) =>
        deed.do === "hit" &&
        deed.step === step + 1 &&
        String(deed.piece) === piece.trim() &&
        near(deed.set, set, kSame_deg),
    );
    if (made) return { die: run.steps[step]!.die, bender: run.bender ?? null, heat: run.heat ?? "" };
  }
  return null;
}

// Of the measured pieces of a job every bend with both angles; `runs` newest first. Where no run
// knows the piece, die and bender are those of the plan.
export function offersOf(
  pieces: readonly Rec<MeasuredPiece>[],
  runs: readonly RunDocument[],
  plan: PlanAnswer,
): OfferedTrial[] {
  return pieces.flatMap((record) => {
    const { piece = "", who = "", date = "", bends = [] } = record.document;
    return bends.flatMap((bend, index): OfferedTrial[] => {
      const { set, angle } = bend;
      if (typeof set !== "number" || typeof angle !== "number") return [];
      const made = madeIn(runs, piece, index + 1, set);
      const planned = plan.steps.find((step) => step.bend === index + 1);
      if (!made && !planned) return [];
      return [
        {
          measurement: record.id,
          piece,
          bend: index + 1,
          set,
          finished: angle,
          die: made?.die ?? planned!.die,
          bender: made ? made.bender : plan.bender,
          heat: made?.heat || plan.part.tube.heat,
          of: made ? "run" : "plan",
          who,
          date,
        },
      ];
    });
  });
}

// Without those the shop has already: the same angles in the same die on the same tube.
export function notKnown(
  offers: readonly OfferedTrial[],
  known: readonly KnownTrial[],
  od_mm: number,
): OfferedTrial[] {
  return offers.filter(
    (offer) =>
      !known.some(
        (one) =>
          one.die === offer.die &&
          near(one.od, od_mm, 0.05) &&
          near(one.set, offer.set, kSame_deg) &&
          near(one.finished, offer.finished, kSame_deg),
      ),
  );
}
