// Die set, bender, end and order chosen on the plan page: whoever plans the job plans it so.
import type { Rec, Wish } from "./answers";
import type { Api } from "./api";

export async function wishOf(api: Api, part: string): Promise<Wish> {
  const found = await api.get<{ records: Rec<Wish>[] }>(
    `/records/plan_choice?part=${encodeURIComponent(part)}&limit=10`,
  );
  return found.records.find((record) => record.id === part)?.document ?? {};
}

export type Choice = keyof Wish;
// What another station chose last, and who.
export type Theirs = Partial<Record<Choice, { value: string | undefined; by: string }>>;
// A choice of theirs that a step back or forth would put something else over.
export interface Overwritten {
  what: Choice;
  now: string | undefined;
  then: string | undefined;
  by: string;
}

const kChoices: readonly Choice[] = ["die", "bender", "from", "order"];
const differing = (a: Wish, b: Wish): Choice[] => kChoices.filter((key) => (a[key] || undefined) !== (b[key] || undefined));

// Marks in `theirs` what another station changed from `was` to `now`.
export function noted(theirs: Theirs, was: Wish, now: Wish, by: string): Theirs {
  return { ...theirs, ...Object.fromEntries(differing(was, now).map((key) => [key, { value: now[key] || undefined, by }])) };
}

// A step of undo, laid when `was` held here, as it is now that another station chose `now`: it keeps
// what it changed itself and follows theirs in the rest.
export function followed(step: Wish, was: Wish, now: Wish): Wish {
  const own = differing(step, was);
  if (own.length === 0) return now;
  const out: Wish = { ...now };
  for (const key of own) {
    if (step[key]) Object.assign(out, { [key]: step[key] });
    else delete out[key];
  }
  return out;
}

export function overwritten(now: Wish, then: Wish, theirs: Theirs): Overwritten[] {
  return differing(now, then).flatMap((what) => {
    const mark = theirs[what];
    if (!mark || mark.value !== (now[what] || undefined)) return [];
    return [{ what, now: now[what] || undefined, then: then[what] || undefined, by: mark.by }];
  });
}
