// What the picture of a part is made from, as plan and part answers hold it.

import { layOut, startOfCorners, type BendTable, type Line } from "./line";
import type { Section } from "./skin";
import type { Frame, Vec } from "./space";

export interface TubeLook {
  round?: boolean;
  hollow?: boolean;
  od_mm?: number;
  height_mm?: number;
  width_mm?: number;
  wall_mm?: number | null;
  corner_radius_mm?: number;
}

export interface PartPicture extends BendTable {
  name?: string;
  hand?: string; // "LH", "RH" or ""
  tube: TubeLook;
  corners_mm?: readonly (readonly number[])[];
}

// A tube of which nothing is known yet is drawn as one of 25 mm.
export function sectionOf(tube: TubeLook): Section {
  const height_mm = tube.height_mm || tube.od_mm || 25;
  const wall_mm = tube.wall_mm ?? null;
  return {
    round: tube.round ?? true,
    hollow: tube.hollow ?? wall_mm !== null,
    height_mm,
    width_mm: tube.width_mm || height_mm,
    wall_mm,
    corner_radius_mm: tube.corner_radius_mm ?? 0,
  };
}

export const startOf = (part: PartPicture): Frame =>
  startOfCorners((part.corners_mm ?? []) as unknown as readonly Vec[]);

export const lineOf = (part: PartPicture): Line => layOut(part, startOf(part));
