import { expect, it } from "vitest";
import { answersOf } from "./trouble";

const told = [
  { symptom: "wrinkle", question: "where", answer: "all" },
  { symptom: "wrinkle", question: "mandrel-forward", answer: "same" },
  { symptom: "flat", question: "where", answer: "end" },
  { symptom: "wrinkle", question: "where", answer: "front" },
  { symptom: "wrinkle", question: "clamp", answer: "better" },
];

it("goes on with the newest walk of a symptom", () => {
  expect(answersOf(told, "wrinkle", "where").map((one) => one.answer)).toEqual(["front", "better"]);
  expect(answersOf(told, "flat", "where").map((one) => one.answer)).toEqual(["end"]);
  expect(answersOf(told, "crack", "where")).toEqual([]);
});
it("begins anew without what was told before", () => {
  expect(answersOf(told, "wrinkle", "where", 5)).toEqual([]);
  expect(answersOf(told, "wrinkle", "where", 3)).toHaveLength(2);
});
