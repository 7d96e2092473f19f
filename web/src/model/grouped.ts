// What a plan has to say, stops first; the same said of several bends is said once.
import type { Finding, Remedy } from "./answers";
import { same, type Json } from "./merge";

export interface Group {
  finding: Finding; // as of the first bend
  bends: number[];
  remedies: Remedy[];
}

const order = { stop: 0, caution: 1, note: 2 };

// One press does for all bends of a group: only what would be mended the same way stands together.
export function grouped(findings: readonly Finding[], remedies: readonly Remedy[]): Group[] {
  const groups: Group[] = [];
  for (const [index, finding] of findings.entries()) {
    const own = remedies.filter((remedy) => remedy.finding === index);
    const like = groups.find(
      (group) =>
        finding.bend !== null &&
        group.bends.length > 0 &&
        group.finding.severity === finding.severity &&
        group.finding.code === finding.code &&
        group.finding.message === finding.message &&
        group.finding.remedy === finding.remedy &&
        same(bare(group.remedies), bare(own)),
    );
    if (like && finding.bend !== null) like.bends.push(finding.bend);
    else groups.push({ finding, bends: finding.bend === null ? [] : [finding.bend], remedies: own });
  }
  return groups.sort((a, b) => order[a.finding.severity] - order[b.finding.severity]);
}

const bare = (remedies: readonly Remedy[]): Json =>
  remedies.map(({ title, wish, part }) => ({ title, wish, part })) as unknown as Json;

export const countOf = (groups: readonly Group[], severity: Finding["severity"]): number =>
  groups.filter((group) => group.finding.severity === severity).length;
