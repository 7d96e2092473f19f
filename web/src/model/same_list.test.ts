import { expect, test } from "vitest";
import { sameList } from "./same_list";

const list = "X\tY\tZ\n0\t0\t0\n400\t0\t0\n400\t300\t0";

test("a cell mended, a row more or less: the same list", () => {
  expect(sameList(list, list.replace("300", "3O0"))).toBe(true);
  expect(sameList(list, `${list}\n500\t300\t0`)).toBe(true);
  expect(sameList(list, list.replace("0\t0\t0\n", ""))).toBe(true);
  expect(sameList(list, list)).toBe(true);
  expect(sameList("0 0\n400 0", "0 0\n410 0")).toBe(true);
});

test("another list is another", () => {
  expect(sameList(list, "X\tY\tZ\n0\t0\t0\n500\t0\t0\n500\t200\t0")).toBe(false);
  expect(sameList(list, "X;Y\n0;0\n1;2")).toBe(false);
  expect(sameList(list, "")).toBe(false);
  expect(sameList("", list)).toBe(false);
});

test("a heading that changes is asked about again", () => {
  expect(sameList(list, list.replace("X", "X in"))).toBe(false);
  expect(sameList(list, list.replace("Z", "R"))).toBe(false);
});
