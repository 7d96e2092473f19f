import { expect, test } from "vitest";
import { Queue, type Keeper } from "./queue";
import { Undo } from "./undo";

test("undo goes back step by step, letters of one cell at once", () => {
  const undo = new Undo("");
  undo.push("1", "cell 0");
  undo.push("12", "cell 0");
  undo.push("12;5", "cell 1");
  expect(undo.undo()).toBe("12");
  expect(undo.undo()).toBe("");
  expect(undo.canUndo).toBe(false);
  expect(undo.redo()).toBe("12");
  undo.push("99");
  expect(undo.canRedo).toBe(false);
  expect(undo.undo()).toBe("12");
});

test("what is known better afterwards is no step", () => {
  const undo = new Undo("drawn");
  undo.replace("drawn, with its tools");
  expect(undo.canUndo).toBe(false);
  undo.push("changed");
  expect(undo.undo()).toBe("drawn, with its tools");
});

test("all steps follow what changed elsewhere, and tell where they lead", () => {
  const undo = new Undo("a");
  undo.push("b");
  undo.push("c");
  undo.undo();
  undo.map((text) => `${text}!`, Object.is);
  expect([undo.before, undo.present, undo.after]).toEqual(["a!", "b!", "c!"]);
  expect(undo.redo()).toBe("c!");
  expect(undo.after).toBeUndefined();
});

test("a step that changes nothing any more is none", () => {
  const undo = new Undo("a1");
  for (const text of ["a2", "b2", "b3", "c3"]) undo.push(text);
  undo.undo();
  undo.undo();
  undo.map((text) => text.slice(0, 1), Object.is); // a a [b] b c
  expect([undo.before, undo.present, undo.after]).toEqual(["a", "b", "c"]);
  undo.undo();
  expect(undo.canUndo).toBe(false);
});

test("a sealed step is not joined", () => {
  const undo = new Undo(0);
  undo.push(1, "a");
  undo.seal();
  undo.push(2, "a");
  expect(undo.undo()).toBe(1);
});

test("what could not be sent waits, and a full computer says so", () => {
  const map = new Map<string, string>();
  const keeper: Keeper = {
    getItem: (k) => map.get(k) ?? null,
    setItem: (k, v) => void map.set(k, v),
    removeItem: (k) => void map.delete(k),
  };
  const queue = new Queue(keeper);
  const pending = { document: { name: "x" }, base: {}, revision: 4, key: "k" };
  expect(queue.hold("part", "p1", pending)).toBe(true);
  expect(queue.held("part", "p1")).toEqual(pending);
  queue.drop("part", "p1");
  expect(queue.held("part", "p1")).toBeNull();
  const full = new Queue({ ...keeper, setItem: () => { throw new Error("full"); } });
  expect(full.hold("part", "p1", pending)).toBe(false);
});
