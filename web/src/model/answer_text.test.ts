import { expect, test } from "vitest";
import { answerInUnit, columnsLike, rowPlace } from "./answer_text";

test("a bare answer beside a table of inches is in inches", () => {
  expect(answerInUnit("radius", "4 1/2", "in")).toBe("4 1/2 in");
  expect(answerInUnit("radius", "4½", "in")).toBe("4 1/2 in");
  expect(answerInUnit("last", "6.25", "in")).toBe("6.25 in");
});

test("a unit typed stays, and so do other answers and millimetres", () => {
  expect(answerInUnit("radius", "114.3 mm", "in")).toBe("114.3 mm");
  expect(answerInUnit("radius", '4.5"', "in")).toBe('4.5"');
  expect(answerInUnit("part", "7", "in")).toBe("7");
  expect(answerInUnit("radius", "77", "mm")).toBe("77");
  expect(answerInUnit("radius", "", "in")).toBe("");
});

test("a radius with a decimal comma", () => {
  expect(answerInUnit("radius", "77,5", "mm")).toBe("77.5");
  expect(answerInUnit("radius", "3,5", "in")).toBe("3.5 in");
  expect(answerInUnit("columns", "x,y,z", "mm")).toBe("x,y,z");
});

test("columns without a heading are offered by how many there are", () => {
  expect(columnsLike("What are the columns? The first row is '0 | 0 | 0'.")).toEqual(["x,y,z", "straight,rotation,angle"]);
  expect(columnsLike("What are the columns?").length).toBe(5);
});

test("places in what was pasted are rows", () => {
  expect(rowPlace("pasted:4")).toBe("row 4");
  expect(rowPlace("pasted:3, column 1")).toBe("row 3, column 1");
  expect(rowPlace("pasted")).toBe("");
  expect(rowPlace("pasted, point 2")).toBe("point 2");
  expect(rowPlace("rail.csv:12, column 2")).toBe("rail.csv, row 12, column 2");
  expect(rowPlace("line.radius")).toBe("line.radius");
});
