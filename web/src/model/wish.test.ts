import { expect, test } from "vitest";
import { Api } from "./api";
import { followed, noted, overwritten, wishOf } from "./wish";

const answering = (status: number, body: unknown): Api =>
  new Api("/api/v1", () => Promise.resolve(new Response(JSON.stringify(body), { status })));

test("what was chosen for a job is what it is planned with", async () => {
  const document = { die: "R100", order: "2A,1A" };
  const records = [{ id: "other", document: {} }, { id: "rail", document }];
  expect(await wishOf(answering(200, { records }), "rail")).toEqual(document);
});

test("a job for which nothing was chosen has no choice; refusals are told", async () => {
  expect(await wishOf(answering(200, { records: [] }), "rail")).toEqual({});
  await expect(wishOf(answering(422, { error: {} }), "rail")).rejects.toThrow();
});

test("a step back follows what another station chose, and takes back only what was changed here", () => {
  const was = { die: "25R75" };
  const now = { die: "25R75", bender: "Heron" };
  expect(followed({ die: "25R75" }, was, now)).toEqual(now); // only the part differed
  expect(followed({ die: "25R50" }, was, now)).toEqual({ die: "25R50", bender: "Heron" });
  expect(followed({}, was, now)).toEqual({ bender: "Heron" });
});

test("a step that would put something over another station's choice names it", () => {
  const was = { die: "25R75" };
  const now = { die: "25R50", bender: "Heron" };
  const theirs = noted({}, was, now, "KL");
  expect(overwritten(now, followed({}, was, now), theirs)).toEqual([{ what: "die", now: "25R50", then: undefined, by: "KL" }]);
  expect(overwritten(now, { ...now, from: "B" }, theirs)).toEqual([]);
  // What was chosen here over theirs is one's own again; the step to theirs overwrites nothing.
  const own = { ...now, die: "25R100" };
  expect(overwritten(own, now, theirs)).toEqual([]);
  // That they took a choice off is a choice, too.
  const off = noted(theirs, now, { bender: "Heron" }, "MO");
  expect(overwritten({ bender: "Heron" }, now, off)).toEqual([{ what: "die", now: undefined, then: "25R50", by: "MO" }]);
});
