import { expect, test } from "vitest";
import { Api, Refused, Unreachable, type Fetch } from "./api";

interface Asked {
  address: string;
  how: RequestInit;
}

// A service that answers one thing and remembers what it was asked.
function speaking(status: number, body: unknown, headers: Record<string, string> = {}) {
  const asked: Asked[] = [];
  const fetcher: Fetch = (address, how) => {
    asked.push({ address, how });
    return Promise.resolve(new Response(JSON.stringify(body), { status, headers }));
  };
  const reached: boolean[] = [];
  return { api: new Api("/api/v1", fetcher, (is) => reached.push(is)), asked, reached };
}
const headersOf = (asked: Asked) => asked.how.headers as Record<string, string>;

test("a write names the revision it was made from, its wish, and who did it", async () => {
  const { api, asked } = speaking(200, { revision: 5 });
  api.initials = "KÖ";
  await api.put("part", "p1", 4, { body: { document: {} }, key: "wish-1" });
  expect(asked[0]!.address).toBe("/api/v1/records/part/p1");
  expect(asked[0]!.how.method).toBe("PUT");
  expect(headersOf(asked[0]!)).toMatchObject({
    "If-Match": '"r4"',
    "Idempotency-Key": "wish-1",
    "X-Bight-By": "K%C3%96",
  });
  await api.put("part", "p2", 0, { body: { document: {} }, key: "wish-2" });
  expect(headersOf(asked[1]!)).toMatchObject({ "If-None-Match": "*" });
});

test("a write outlives the page unless it is larger than a browser allows", async () => {
  const { api, asked } = speaking(200, { revision: 5 });
  await api.put("part", "p1", 4, { body: { document: {} }, key: "a" });
  await api.put("part", "p1", 5, { body: { document: { note: "n".repeat(30_000) } }, key: "b" });
  await api.get("/x");
  expect(asked.map((one) => one.how.keepalive ?? false)).toEqual([true, false, false]);
});

test("a conflict brings what stands there now", async () => {
  const present = { id: "p1", revision: 7, document: { name: "theirs" } };
  const error = { code: "record.conflict", where: "", message: "changed", remedy: "" };
  const { api } = speaking(412, { error, present });
  const failed: unknown = await api
    .put("part", "p1", 4, { body: { document: {} }, key: "k" })
    .catch((reason: unknown) => reason);
  expect(failed).toBeInstanceOf(Refused);
  expect((failed as Refused).conflict).toBe(true);
  expect((failed as Refused).present?.revision).toBe(7);
});

test("several complaints come through, and answers that are no JSON are told plainly", async () => {
  const two = [1, 2].map((n) => ({ code: "key.value", where: `${n}`, message: "m", remedy: "" }));
  const refused = await speaking(422, { error: two[0], errors: two })
    .api.get("/x")
    .catch((reason: unknown) => reason as Refused);
  expect((refused as Refused).failures.length).toBe(2);
  const broken: Fetch = () => Promise.resolve(new Response("<html>", { status: 502 }));
  const other = await new Api("", broken).get("/x").catch((reason: unknown) => reason as Refused);
  expect((other as Refused).first.message).toBe("HTTP 502");
});

test("an absent service is noticed, an answer from what was kept too", async () => {
  const reached: boolean[] = [];
  const gone = new Api("", () => Promise.reject(new TypeError("failed")), (is) => reached.push(is));
  await expect(gone.get("/x")).rejects.toBeInstanceOf(Unreachable);
  const kept = speaking(200, {}, { "X-Bight-Kept": "1" });
  expect((await kept.api.ask("/x")).kept).toBe(true);
  expect([...reached, ...kept.reached]).toEqual([false, false]);
});

test("long work is looked at until it is done, and called off when nobody wants it", async () => {
  const states = [
    { state: "running", progress: 0.25 },
    { state: "running", progress: 0.5 },
    { state: "done", progress: 1, result: { orders: 3 } },
  ];
  const asked: string[] = [];
  const fetcher = (left: unknown[]): Fetch => (address, how) => {
    asked.push(`${how.method ?? "GET"} ${address}`);
    return Promise.resolve(how.method === "DELETE" ? new Response(null, { status: 204 }) : new Response(JSON.stringify(left.shift())));
  };
  const heard: (number | null)[] = [];
  const hear = (state: { progress: number | null } | null) => (state && heard.push(state.progress), true);
  expect(await new Api("", fetcher([...states])).finish("j1", hear, 0)).toEqual({ orders: 3 });
  expect(heard).toEqual([0.25, 0.5]);
  expect(asked).toEqual(["GET /jobs/j1", "GET /jobs/j1", "GET /jobs/j1"]);

  asked.length = 0;
  expect(await new Api("", fetcher([...states])).finish("j2", (state) => state === null, 0)).toBeNull();
  expect(asked).toEqual(["GET /jobs/j2", "DELETE /jobs/j2"]);

  const error = { code: "order.none", where: "", message: "m", remedy: "" };
  const failing = new Api("", fetcher([{ state: "failed", error }])).finish("j3", () => true, 0);
  await expect(failing).rejects.toMatchObject({ first: error });
});
