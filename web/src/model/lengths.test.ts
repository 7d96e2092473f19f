import { describe, expect, test } from "vitest";
import { cellText, editLength, readLength, showLength, writeCell, writtenMm } from "./lengths";
import { readAngle, writeAngle } from "./angles";

const mm = (text: string, unit: "mm" | "in" = "mm", mark: "point" | "comma" = "point") => {
  const read = readLength(text, unit, mark);
  return read.ok ? read.value : read.why.code;
};

describe("lengths as typed", () => {
  // 1 in = 25.4 mm exactly (international yard and pound agreement, 1959); values by hand.
  test.each([
    ["38.1", 38.1],
    ["38.1 mm", 38.1],
    ["12 cm", 120],
    ["1.2 m", 1200],
    ['1.5"', 38.1],
    ["3/4 in", 19.05],
    ["1-1/2 in", 38.1],
    ['1 1/2"', 38.1],
    ["1½ in", 38.1],
    ["½″", 12.7],
    ["3'", 914.4],
    ["3.5 ft", 1066.8],
    ["3' 4-5/8\"", 1031.875],
    ["3ft 4in", 1016],
    ["5'-6\"", 1676.4],
    ["-11'2\"", -134 * 25.4],
    ["−20", -20],
    ["  7 ", 7],
    [".5", 0.5],
  ])("%s", (text, value) => expect(mm(text)).toBe(value));

  test.each([
    ["1/2", "length.inches"], // of what?
    ["1,5", "length.comma"],
    ["11/2 in", "length.fraction"],
    ["1/3 in", "length.fraction"],
    ["1/2 mm", "length.fraction"],
    ["3' 14\"", "length.range"],
    ["3' 4", "length.unit"],
    ["12 yd", "length.unit"],
    ["", "length.text"],
    ["- 5", "length.text"],
    ["5.", "length.text"],
    ["1.5.2", "length.text"],
    ["1e3", "length.text"],
    ["2000000", "length.range"],
    ["abc", "length.text"],
  ])("%s is refused", (text, code) => expect(mm(text)).toBe(code));

  test("a bare number is in the unit in force, with its decimal mark", () => {
    expect(mm("1/2", "in")).toBe(12.7);
    expect(mm("24", "in")).toBe(609.6);
    expect(mm("1,5", "mm", "comma")).toBe(1.5);
    expect(mm("1.5", "mm", "comma")).toBe("length.comma");
  });
});

describe("lengths shown", () => {
  test("decimals and sixteenths", () => {
    expect(showLength(1986.24, { unit: "mm" })).toBe("1986.2");
    expect(showLength(38.1, { unit: "in" })).toBe("1.500");
    expect(showLength(38.1, { unit: "in", fractions: true })).toBe("1-1/2");
    expect(showLength(25.4 * 11.97, { unit: "in", fractions: true })).toBe("12");
    expect(showLength(-15.875, { unit: "in", fractions: true })).toBe("-5/8");
    expect(showLength(-0.01, { unit: "mm" })).toBe("0.0");
    expect(editLength(38.1, "in")).toBe("1.5");
  });
});

describe("cells", () => {
  const metric = { unit: "mm", mark: "point" } as const;
  const inches = { unit: "in", mark: "point" } as const;

  test("switching the unit shows other texts and stores none", () => {
    expect(cellText(400, metric, "mm")).toBe("400");
    expect(cellText(400, metric, "in")).toBe("15.748031");
    expect(cellText("3 ft", inches, "in")).toBe("3 ft");
    expect(cellText("3 ft", inches, "mm")).toBe("914.4");
    expect(cellText("1-1/2 in", metric, "in")).toBe("1-1/2");
    expect(cellText('4 1/2"', inches, "in")).toBe("4 1/2");
    expect(cellText("114.3 mm", metric, "mm")).toBe("114.3");
    expect(cellText("11.43 cm", metric, "mm")).toBe("11.43 cm");
    expect(cellText("2 ft 3 in", inches, "in")).toBe("2 ft 3 in");
    expect(cellText("nonsense", metric, "in")).toBe("nonsense");
  });

  test("what is typed is stored with its exact meaning", () => {
    expect(writeCell("400", metric, "mm")).toBe(400);
    expect(writeCell("16-1/2", metric, "in")).toBe("16-1/2 in");
    expect(writtenMm(writeCell("16-1/2", metric, "in"), metric)).toEqual({ ok: true, value: 419.1 });
    expect(writeCell("120", inches, "mm")).toBe("120 mm");
    expect(writeCell("1/2", inches, "in")).toBe("1/2");
    expect(writeCell("3' 2\"", metric, "mm")).toBe("3' 2\"");
    expect(writeCell("rubbish", metric, "in")).toBe("rubbish");
  });
});

describe("angles as typed", () => {
  test.each([
    ["90", 90],
    ["90.5°", 90.5],
    ["67d30'", 67.5],
    ["67°30'15\"", 67 + 30 / 60 + 15 / 3600],
    ["67 deg 30 min", 67.5],
    ["-0°30'", -0.5],
    ["1.5707963267948966 rad", 90],
  ])("%s", (text, value) => {
    const read = readAngle(text);
    expect(read.ok && read.value).toBeCloseTo(value, 12);
  });
  test.each(["", "ninety", "67 30'", "67°61'", "40000"])("%s is refused", (text) =>
    expect(readAngle(text).ok).toBe(false),
  );
});

describe("a decimal comma where the document writes the point", () => {
  const point = { unit: "mm", mark: "point" } as const;
  test.each([
    ["25,4", 25.4],
    ["-0,5", -0.5],
    [",5", 0.5],
    ["0,125", 0.125], // no thousands begin with a nought
    ["1250,125", 1250.125], // nor have four digits before the comma
    ["25,4 mm", "25.4 mm"],
    ["1,25 in", "1.25 in"],
    ["1,250", "1,250"], // either: stays, and is asked about
    ["1,2,3", "1,2,3"],
    ["1.250,5", "1.250,5"],
  ])("%s is kept as %s", (typed, kept) => {
    expect(writeCell(typed, point, "mm")).toBe(kept);
  });
  test("what may be thousands is asked about", () => {
    const read = readLength("1,250", "mm");
    expect(read.ok ? null : read.why).toEqual({ code: "length.mark", typed: "1,250", meant: "1.250" });
    expect(writeCell("25,4", { unit: "mm", mark: "comma" }, "mm")).toBe("25,4");
    expect(writeAngle("67,5")).toBe(67.5);
    expect(writeAngle("67,125")).toBe(67.125);
  });
});

describe("a letter that looks like a digit", () => {
  test.each([
    ["40O", "O", "400"],
    ["l2.5 mm", "l", "12.5 mm"],
    ["3OO", "O", "300"],
    ["1S", "S", "15"],
  ])("%s: the letter %s, meant %s", (typed, letter, meant) => {
    const read = readLength(typed, "mm");
    expect(read.ok ? null : read.why).toEqual({ code: "letter", typed, letter, meant });
  });
  test("units and words are no digits", () => {
    expect(mm("40x")).toBe("length.unit");
    expect(mm("rail 4")).toBe("length.text");
    const angle = readAngle("9O");
    expect(angle.ok ? null : angle.why.meant).toBe("90");
  });
});
