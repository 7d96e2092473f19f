import { expect, test } from "vitest";
import { Api } from "./api";
import { wishOf } from "./wish";

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
