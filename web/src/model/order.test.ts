import { expect, test } from "vitest";
import type { Finding, PlacedBend, WorkOrder } from "./answers";
import { movedBend, orderRemedies, orderText, otherEnd, placeAt } from "./order";

const drawn: PlacedBend[] = [1, 2, 3, 4].map((bend) => ({ bend, front: "A" }));

test("a bend is moved and the rest close up", () => {
  expect(orderText(movedBend(drawn, 0, 2))).toBe("2A,3A,1A,4A");
  expect(orderText(movedBend(drawn, 3, 0))).toBe("4A,1A,2A,3A");
  expect(orderText(movedBend(drawn, 1, 1))).toBe("1A,2A,3A,4A");
});

test("a place that is none changes nothing, nor does the list that was given", () => {
  expect(orderText(movedBend(drawn, 0, 4))).toBe("1A,2A,3A,4A");
  expect(orderText(movedBend(drawn, -1, 2))).toBe("1A,2A,3A,4A");
  movedBend(drawn, 0, 3);
  expect(orderText(drawn)).toBe("1A,2A,3A,4A");
});

test("one bend is made with the other end ahead", () => {
  expect(orderText(otherEnd(drawn, 2))).toBe("1A,2A,3B,4A");
  expect(orderText(otherEnd(otherEnd(drawn, 2), 2))).toBe("1A,2A,3A,4A");
});

test("a dragged row goes where its middle has been passed", () => {
  const middles = [25, 75, 125, 175];
  expect(placeAt(middles, 0, 70)).toBe(0);
  expect(placeAt(middles, 0, 80)).toBe(1);
  expect(placeAt(middles, 0, 900)).toBe(3);
  expect(placeAt(middles, 3, 60)).toBe(1);
  expect(placeAt(middles, 3, -50)).toBe(0);
});

test("an order that a finding advises is taken by a press; one that fails never is", () => {
  const order = (name: string, text: string, works: boolean) => ({ name, text, works }) as WorkOrder;
  const remedy = (said: string) => ({ remedy: said }) as Finding;
  const plan = {
    alternatives: [order("in drawing order from end B", "2B,1B", false), order("bends 2, 1 with end A ahead", "2A,1A", true)],
    findings: [
      remedy("watch it there the first time, slowly"),
      remedy("take another order: bends 2, 1 with end A ahead, which clears the floor by 40 mm; another bender"),
      remedy("take another order: in drawing order from end B, which hits the floor"),
    ],
  };
  expect(orderRemedies(plan, (name) => `take ${name}`)).toEqual([
    { finding: 1, title: "take bends 2, 1 with end A ahead", wish: { order: "2A,1A" } },
  ]);
});
