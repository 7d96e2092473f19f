// The trial of an angle gauge: several people read the same pieces several times, in one table.
import { readAngle } from "./angles";
import type { GaugeAnswer } from "./bench_answers";
import type { Mark } from "./typed";

export interface GaugeTable {
  people: string[];
  pieces: number;
  times: number;
  cells: Record<string, string>; // "person/piece/time", each from 0
}
export interface GaugeReading {
  person: string;
  piece: string;
  angle: number;
}

export const kMostPeople = 4;
export const kMostPieces = 15;
export const kMostTimes = 5;
export const kFresh: GaugeTable = { people: ["", ""], pieces: 5, times: 2, cells: {} };

export const cellName = (person: number, piece: number, time: number): string =>
  `${person}/${piece}/${time}`;

// The person's name, or a letter while none is typed.
export const personName = (table: GaugeTable, person: number): string =>
  table.people[person]?.trim() || String.fromCharCode(65 + person);

export interface GaugeRead {
  readings: GaugeReading[];
  missing: number; // cells without a reading
  wrong: Set<string>; // cells that are no angle
  same_names: boolean;
}

export function readTable(table: GaugeTable, mark: Mark): GaugeRead {
  const readings: GaugeReading[] = [];
  const wrong = new Set<string>();
  let missing = 0;
  const names = table.people.map((_, person) => personName(table, person));
  for (let piece = 0; piece < table.pieces; ++piece) {
    for (let time = 0; time < table.times; ++time) {
      for (let person = 0; person < table.people.length; ++person) {
        const cell = cellName(person, piece, time);
        const text = table.cells[cell] ?? "";
        if (text.trim() === "") {
          ++missing;
          continue;
        }
        const read = readAngle(text, mark);
        if (!read.ok) wrong.add(cell);
        else readings.push({ person: names[person]!, piece: String(piece + 1), angle: read.value });
      }
    }
  }
  return { readings, missing, wrong, same_names: new Set(names).size < names.length };
}

// What was pasted goes from its cell to the right and down, rows as they stand in the table.
export function pasted(
  table: GaugeTable,
  person: number,
  row: number, // piece * times + time
  text: string,
): Record<string, string> {
  const cells = { ...table.cells };
  const lines = text.replace(/\r\n?/g, "\n").replace(/\n$/, "").split("\n");
  lines.forEach((line, down) => {
    line.split("\t").forEach((value, right) => {
      const [at_row, at_person] = [row + down, person + right];
      if (at_row >= table.pieces * table.times || at_person >= table.people.length) return;
      const piece = Math.floor(at_row / table.times);
      cells[cellName(at_person, piece, at_row % table.times)] = value.trim();
    });
  });
  return cells;
}

export type Fit = "good" | "usable" | "poor";

// Common practice, no source: up to a tenth of the tolerance good, up to three tenths usable.
export function fitOf(share_of_tolerance: number): Fit {
  return share_of_tolerance <= 0.1 ? "good" : share_of_tolerance <= 0.3 ? "usable" : "poor";
}

// The least tolerance each way the gauge may be used for: six of its sigmas in three tenths of the
// tolerance's width.
export const leastTolerance = (sigma: number): number => (6 * sigma) / 0.3 / 2;

// By how much a reading must stay off the limits for the piece to be within them, two sigmas.
export const guardOf = (answer: GaugeAnswer): number => 2 * (answer.gauge.sigma ?? 0);
