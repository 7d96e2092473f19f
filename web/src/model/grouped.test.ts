import { describe, expect, it } from "vitest";
import type { Finding, Remedy } from "./answers";
import { countOf, grouped } from "./grouped";

const finding = (severity: Finding["severity"], bend: number | null, message: string): Finding => ({
  severity,
  code: "plan.radius-differs",
  bend,
  message,
  remedy: "",
  source: "",
  numbers: {},
});

describe("what a plan has to say", () => {
  it("comes stops first, else in its order", () => {
    const said = grouped([finding("note", null, "a"), finding("stop", 2, "b"), finding("stop", 1, "c")], []);
    expect(said.map((group) => group.finding.message)).toEqual(["b", "c", "a"]);
  });

  it("is said once of bends of which the same is found", () => {
    const all = [1, 2, 3].map((bend) => finding("caution", bend, "another radius"));
    const said = grouped([...all, finding("caution", 4, "too near"), finding("caution", null, "x")], []);
    expect(said.map((group) => group.bends)).toEqual([[1, 2, 3], [4], []]);
    expect([countOf(said, "caution"), countOf(said, "stop")]).toEqual([3, 0]);
  });

  it("keeps apart what is mended differently, and what is found of no bend", () => {
    const findings = [1, 2, 3].map((bend) => finding("caution", bend, "another radius"));
    const remedies: Remedy[] = [0, 1, 2].map((at) => ({
      finding: at,
      title: "use another",
      wish: { die: at < 2 ? "25R75" : "25R50" },
    }));
    const said = grouped([...findings, finding("note", null, "n"), finding("note", null, "n")], remedies);
    expect(said.map((group) => group.bends)).toEqual([[1, 2], [3], [], []]);
    expect(said[0]!.remedies).toEqual([remedies[0]]);
  });
});
