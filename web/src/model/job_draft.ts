// A new job as far as it was typed, kept for this tab: going back and forth loses nothing.
import type { Keeper } from "./queue";
import type { LineDocument } from "./part_document";

export interface JobDraft {
  name: string;
  size: string;
  metal: string;
  pasted: string;
  answers: Record<string, string>;
  shape: LineDocument;
}
const kPlace = "bight.draft.new";

export const noDraft = (): JobDraft => ({ name: "", size: "", metal: "", pasted: "", answers: {}, shape: { shape: "u" } });

// Whether anything was typed. A shape merely looked at is none.
export function begun(draft: JobDraft): boolean {
  return (
    [draft.name, draft.size, draft.metal, draft.pasted].some((text) => text.trim() !== "") ||
    Object.keys(draft.shape).some((key) => key !== "shape")
  );
}

export function keepDraft(keeper: Keeper, draft: JobDraft): void {
  try {
    if (begun(draft)) keeper.setItem(kPlace, JSON.stringify(draft));
    else keeper.removeItem(kPlace);
  } catch {
    // No room: it stands on the page alone.
  }
}

export function dropDraft(keeper: Keeper): void {
  keepDraft(keeper, noDraft());
}

// The draft that waits; null where there is none or it cannot be read.
export function draftKept(keeper: Keeper): JobDraft | null {
  try {
    const text = keeper.getItem(kPlace);
    const found = text === null ? null : (JSON.parse(text) as Partial<JobDraft>);
    const draft = { ...noDraft(), ...found };
    const whole = [draft.name, draft.size, draft.metal, draft.pasted].every((one) => typeof one === "string");
    return whole && begun(draft) ? draft : null;
  } catch {
    return null;
  }
}
