// Dimensions drawn beside the part: what a tape reads along each leg.

import {
  bendAt,
  cornerOf,
  frameAt,
  heightAt,
  kCornerBelow_rad,
  numBends,
  rollsOf,
  straightAt,
  type Line,
  type Segment,
} from "./line";
import { add, along, dot, minus, norm, times, unit, type Vec } from "./space";
import type { Section } from "./skin";

// Where the tape's ends lie: on the centreline's corners, over the outside of the bends, or
// between their insides.
export type SizesTo = "centre" | "outside" | "inside";

export interface Size {
  leg: number; // 0 is the one at end A
  from: Vec; // on the tube's own line
  to: Vec;
  aside: Vec; // direction in which the dimension stands off
  value_mm: number;
  to_corner: boolean; // false: only the straight itself, where a bend has no usable corner
}

// How far the section reaches in a direction square to the tube.
function reach(section: Section, ahead: Vec, u: Vec, direction: Vec): number {
  if (section.round) return section.height_mm / 2;
  const flat = unit(minus(direction, times(ahead, dot(direction, ahead))));
  const along_u = Math.abs(dot(flat, u));
  const along_v = Math.sqrt(Math.max(0, 1 - along_u * along_u));
  return (section.height_mm / 2) * along_u + (section.width_mm / 2) * along_v;
}

// From corner to corner along each leg. Over the outside each bend adds its half size times
// tan(angle/2), between insides it takes that away: the faces meet there.
export function sizesOf(line: Line, section: Section, to: SizesTo): Size[] {
  const count = numBends(line);
  const rolls = rollsOf(line);
  const sizes: Size[] = [];
  const shift = to === "centre" ? 0 : to === "outside" ? 1 : -1;
  for (let leg = 0; leg <= count; ++leg) {
    const straight = straightAt(line, leg);
    const ahead = straight.start.ahead;
    const height = heightAt(straight, rolls[2 * leg]!);
    const before = leg > 0 ? bendAt(line, leg - 1) : null;
    const after = leg < count ? bendAt(line, leg) : null;
    const fits =
      (!before || before.angle_rad <= kCornerBelow_rad) &&
      (!after || after.angle_rad <= kCornerBelow_rad);
    let from = straight.start.at;
    let end = along(from, ahead, straight.length_mm);
    let aside: Vec = [0, 0, 0];
    if (before) aside = add(aside, times(inwardAtEnd(before), -1));
    if (after) aside = add(aside, times(after.start.inward, -1));
    if (fits) {
      if (before) {
        const half = reach(section, ahead, height, inwardAtEnd(before));
        const grow = shift * half * Math.tan(before.angle_rad / 2);
        from = along(cornerOf(before), ahead, -grow);
      }
      if (after) {
        const half = reach(section, ahead, height, after.start.inward);
        end = along(cornerOf(after), ahead, shift * half * Math.tan(after.angle_rad / 2));
      }
    }
    if (norm(aside) < 1e-6) aside = straight.start.inward;
    const value_mm = dot(minus(end, from), ahead);
    sizes.push({ leg, from, to: end, aside: unit(aside), value_mm, to_corner: fits });
  }
  return sizes;
}

// The inward direction where an arc ends.
function inwardAtEnd(bend: Segment): Vec {
  return frameAt(bend, bend.length_mm).inward;
}
