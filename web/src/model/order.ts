// An order of bends as it is laid by hand.
import type { PlacedBend, PlanAnswer, Remedy } from "./answers";

// As the service takes it.
export const orderText = (bends: readonly PlacedBend[]): string =>
  bends.map((placed) => `${placed.bend}${placed.front}`).join(",");

// The bend at `from` put to place `to`, the rest closing up; places outside change nothing.
export function movedBend(bends: readonly PlacedBend[], from: number, to: number): PlacedBend[] {
  const out = [...bends];
  if (from < 0 || to < 0 || from >= out.length || to >= out.length) return out;
  const [placed] = out.splice(from, 1);
  out.splice(to, 0, placed!);
  return out;
}

// The bend at `at` made with the other end ahead.
export const otherEnd = (bends: readonly PlacedBend[], at: number): PlacedBend[] =>
  bends.map((one, i) => (i === at ? { ...one, front: one.front === "A" ? "B" : "A" } : one));

// The place a row dragged to height `y` goes to: past the middle of another row, it takes its place.
export function placeAt(middles: readonly number[], from: number, y: number): number {
  let to = from;
  while (to + 1 < middles.length && y > middles[to + 1]!) ++to;
  while (to > 0 && y < middles[to - 1]!) --to;
  return to;
}

// Where a finding advises another order by name, taking it is one press.
export function orderRemedies(plan: Pick<PlanAnswer, "findings" | "alternatives">, title: (name: string) => string): Remedy[] {
  return plan.findings.flatMap((finding, at) => {
    const other = plan.alternatives.find((one) => one.works && finding.remedy.includes(one.name));
    return other ? [{ finding: at, title: title(other.name), wish: { order: other.text } }] : [];
  });
}
