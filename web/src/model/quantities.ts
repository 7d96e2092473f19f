// Quantities other than lengths as they are read in a shop that works in inches. The pound is
// 0.45359237 kg and its force that mass under 9.80665 m/s², exactly (agreement of 1959, from
// memory); the foot is 0.3048 m.
import type { Unit } from "./lengths";

const foot = 0.3048;
const pound = 0.45359237;
const poundForce = pound * 9.80665;

// By the unit as the service sends it: what stands for it, and how much of it that is.
const inInches: Record<string, { unit: string; each: number }> = {
  "N m": { unit: "lbf·ft", each: poundForce * foot },
  kg: { unit: "lb", each: pound },
  "kg/m": { unit: "lb/ft", each: pound / foot },
  m: { unit: "ft", each: foot },
};

export interface Shown {
  value: number;
  unit: string; // as the locale's key "unit.…" has it or, without one, as it is
}

// The same in millimetres' company; other units stay as they are.
export function inUnit(value: number, unit: string, of: Unit): Shown {
  const other = of === "in" ? inInches[unit] : undefined;
  return other ? { value: value / other.each, unit: other.unit } : { value, unit };
}
