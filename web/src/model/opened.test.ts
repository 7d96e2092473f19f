import { expect, test } from "vitest";
import { Opened } from "./opened";

test("what was looked at is asked again, what changes something or passes is not", () => {
  const opened = new Opened();
  opened.note("./api/v1/records/part/p1", { method: "GET" });
  opened.note("./api/v1/records/part/p1", { method: "PUT", body: "{}" });
  opened.note("./api/v1/records/part", { method: "POST", body: "{}" });
  opened.note("./api/v1/session", { method: "GET" });
  opened.note("./api/v1/jobs/7", { method: "GET" });
  opened.note("./api/v1/plan", { method: "POST", body: "old" });
  opened.note("./api/v1/plan", { method: "POST", body: "new", signal: new AbortController().signal });
  opened.note("./api/v1/sheet?paper=a4&format=svg&page=1", { method: "POST", body: "s" });
  expect(opened.take()).toEqual([
    { address: "./api/v1/records/part/p1", how: { method: "GET" } },
    { address: "./api/v1/plan", how: { method: "POST", body: "new" } },
    { address: "./api/v1/sheet?paper=a4&format=svg&page=1", how: { method: "POST", body: "s" } },
  ]);
  expect(opened.take()).toEqual([]);
});

test("only so many are held, the latest", () => {
  const opened = new Opened(2);
  for (const n of [1, 2, 3]) opened.note(`./api/v1/blobs/${n}`, { method: "GET" });
  expect(opened.take().map((one) => one.address)).toEqual(["./api/v1/blobs/2", "./api/v1/blobs/3"]);
});
