// How the things of a shelf look, to scale: sizes read from their documents (docs/formats/shop.md)
// and outlines in mm. Paper axes: x the way the tube is fed, y down.
import type { RackSection } from "./answers";
import { writtenMm, type Writing, type Written } from "./lengths";

type Document = Record<string, unknown>;
export type Spot = readonly [number, number];
export interface Box {
  left: number;
  top: number;
  right: number;
  bottom: number;
}

export function shopWriting(document: Document): Writing {
  return {
    unit: document["units"] === "in" ? "in" : "mm",
    mark: document["decimal_mark"] === "comma" ? "comma" : "point",
  };
}

// A length of the document above zero, in mm.
export function lengthOf(document: Document, key: string): number | null {
  const value = document[key];
  if (value === undefined || value === "") return null;
  const read = writtenMm(value as Written, shopWriting(document));
  return read.ok && read.value > 0 ? read.value : null;
}

// Pixels a millimetre so that the largest of a shelf fits the frame and the others beside it can be
// compared with it; never more than `most`.
export function commonScale(boxes: readonly Box[], frame: { width: number; height: number }, most: number): number {
  const width = Math.max(1, ...boxes.map((box) => box.right - box.left));
  const height = Math.max(1, ...boxes.map((box) => box.bottom - box.top));
  return Math.min(frame.width / width, frame.height / height, most);
}

// The length of a scale bar: 1, 2 or 5 times a power of ten of the unit, at most `most` long.
export function barMm(scale: number, most: number, unitMm: number): number {
  const room = most / scale / unitMm;
  const power = 10 ** Math.floor(Math.log10(room));
  return ([5, 2, 1].find((step) => step * power <= room) ?? 1) * power * unitMm;
}

export interface Groove {
  height: number; // in the plane of bending
  width: number;
  round: boolean;
}
export interface DieLook {
  radius: number;
  groove: Groove;
  clamp: number;
  pressureDie: number;
  tail: number; // of the tube behind the tangent point
  mandrel: boolean;
  wiper: boolean;
}

// As the service reads it: sizes of a groove that is not round come before `groove`.
export function grooveOf(document: Document): Groove | null {
  if (document["groove_height"] !== undefined || document["groove_width"] !== undefined) {
    const [height, width] = [lengthOf(document, "groove_height"), lengthOf(document, "groove_width")];
    return height === null || width === null ? null : { height, width, round: false };
  }
  const size = lengthOf(document, "groove");
  return size === null ? null : { height: size, width: size, round: true };
}

export function dieLook(document: Document): DieLook | null {
  const [radius, groove] = [lengthOf(document, "radius"), grooveOf(document)];
  if (radius === null || groove === null || radius <= groove.height / 2) return null;
  const pressureDie = lengthOf(document, "pressure_die") ?? 0;
  return {
    radius,
    groove,
    clamp: lengthOf(document, "clamp") ?? 0,
    pressureDie,
    tail: lengthOf(document, "tail") ?? Math.max(pressureDie, groove.height),
    mandrel: document["mandrel"] === true,
    wiper: document["wiper"] === true,
  };
}

// Cut through the middle of the tube, the die's axis at the origin, the tube fed in above it.
export interface DieOutline {
  box: Box;
  disc: number; // radius of the groove's bottom
  tube: Box;
  clamp: Box | null;
  pressureDie: Box | null;
  mandrel: Box | null; // its front end is rounded
  wiper: Spot[] | null;
  section: { x: number; y: number } | null; // middle of the tube seen from its end
}

export function dieOutline(look: DieLook): DieOutline {
  const { radius, groove, clamp, pressureDie, tail } = look;
  const half = groove.height / 2;
  const block = groove.height * 0.8; // how thick clamp and pressure die are is not known
  const above: Box = { left: 0, right: 0, top: -radius - half - block, bottom: -radius - half };
  const tube: Box = { left: -tail, right: Math.max(clamp, half), top: -radius - half, bottom: -radius + half };
  const rod = look.mandrel ? groove.height * 0.7 : 0; // looks out of the tube's end
  const left = Math.max(tail + rod, pressureDie);
  const section = { x: -left - groove.height * 0.5 - groove.height / 2, y: -radius };
  return {
    box: {
      left: Math.min(-radius, section.x - half),
      right: Math.max(radius, tube.right),
      top: Math.min(above.top, section.y - groove.width / 2),
      bottom: radius,
    },
    disc: radius - half,
    tube,
    clamp: clamp > 0 ? { ...above, right: clamp } : null,
    pressureDie: pressureDie > 0 ? { ...above, left: -pressureDie } : null,
    mandrel: look.mandrel
      ? { left: -tail - rod, right: 0, top: -radius - half * 0.72, bottom: -radius + half * 0.72 }
      : null,
    wiper: look.wiper ? wiperOutline(radius - half, groove.height) : null,
    section,
  };
}

// It fills the wedge between tube and groove behind the tangent point, its tip at that point.
function wiperOutline(disc: number, size: number): Spot[] {
  const long = Math.min(size * 1.7, disc * 0.85);
  const steps = 8;
  const arc = Array.from({ length: steps + 1 }, (_, i): Spot => {
    const x = (-long * i) / steps;
    return [x, -Math.sqrt(disc * disc - x * x)];
  });
  return [...arc, [-long, -disc]];
}

export interface BenderLimits {
  radius: number; // largest die
  size: number; // largest tube
  wall: number | null; // its thickest
  clockwise: boolean;
  rolls: boolean; // three rolls: no die
}

export function benderLimits(document: Document): BenderLimits | null {
  const [radius, size] = [lengthOf(document, "die_radius_max"), lengthOf(document, "size_max")];
  if (radius === null || size === null) return null;
  const wall = lengthOf(document, "wall_max");
  return {
    radius,
    size,
    wall: wall !== null && wall < size / 2 ? wall : null,
    clockwise: document["direction"] !== "counter-clockwise",
    rolls: document["kind"] === "three-roll",
  };
}

export function benderBox({ radius, size, rolls }: BenderLimits): Box {
  const reach = rolls ? size / 2 : radius + size / 2;
  return { left: -reach - (rolls ? 0 : size * 1.6), right: reach, top: -reach, bottom: reach };
}

// The outline of a section and, of a tube, its hole; the section's height stands upright.
export function sectionPath(section: RackSection): string {
  const { shape, height_mm: h, width_mm: w, wall_mm: wall } = section;
  if (shape === "round") return circle(h / 2) + (wall === null ? "" : circle(h / 2 - wall));
  if (shape === "rectangle") {
    const corner = Math.min(section.corner_radius_mm, h / 2, w / 2);
    const hole = wall === null ? "" : rounded(w - 2 * wall, h - 2 * wall, Math.max(0, corner - wall));
    return rounded(w, h, corner) + hole;
  }
  const t = wall ?? 0;
  if (shape === "angle") {
    return polygon([[-w / 2, -h / 2], [-w / 2 + t, -h / 2], [-w / 2 + t, h / 2 - t], [w / 2, h / 2 - t], [w / 2, h / 2], [-w / 2, h / 2]]);
  }
  const flange = section.flange_mm ?? t;
  return polygon([
    [-w / 2, -h / 2], [w / 2, -h / 2], [w / 2, -h / 2 + flange], [-w / 2 + t, -h / 2 + flange],
    [-w / 2 + t, h / 2 - flange], [w / 2, h / 2 - flange], [w / 2, h / 2], [-w / 2, h / 2],
  ]);
}

const circle = (r: number): string => `M${-r} 0a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0z`;
const polygon = (spots: readonly Spot[]): string => `M${spots.map((spot) => spot.join(" ")).join("L")}z`;
function rounded(w: number, h: number, r: number): string {
  const arc = (x: number, y: number): string => (r > 0 ? `a${r} ${r} 0 0 1 ${x * r} ${y * r}` : "");
  return `M${-w / 2 + r} ${-h / 2}h${w - 2 * r}${arc(1, 1)}v${h - 2 * r}${arc(-1, 1)}h${-(w - 2 * r)}${arc(-1, -1)}v${-(h - 2 * r)}${arc(1, -1)}z`;
}

// Sections of the same outside and wall.
export const sectionBox = ({ height_mm: h, width_mm: w }: { height_mm: number; width_mm: number }): Box => ({
  left: -w / 2, right: w / 2, top: -h / 2, bottom: h / 2,
});
