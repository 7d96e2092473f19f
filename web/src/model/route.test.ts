import { expect, test } from "vitest";
import { readRoute, routeHash } from "./route";

test.each(["#/jobs", "#/new/shape", "#/plan/0q2p8v7c", "#/shop/bender/x1", "#/people", "#/history/part/p-1"])(
  "%s is a place",
  (hash) => expect(routeHash(readRoute(hash))).toBe(hash),
);

test("what is no place leads to the jobs", () => {
  for (const hash of ["", "#", "#/nowhere", "#/plan/", "#/plan/../etc", "#/history/part"]) {
    expect(readRoute(hash)).toEqual({ at: "jobs" });
  }
  expect(readRoute("#/shop/attic")).toEqual({ at: "shop", shelf: "die_set" });
});
