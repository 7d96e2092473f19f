// A part as objects of the scene: skin, rings where bends begin and end, the collar at end A.

import {
  BufferAttribute,
  BufferGeometry,
  Group,
  LineBasicMaterial,
  LineSegments,
  Mesh,
  MeshPhongMaterial,
} from "three";
import { frameAt, rollsOf, stationsOf, type Line, type Station } from "./line";
import { halfSize, outline, skinOf, type Section, type Skin } from "./skin";
import { add, radians, rolled, times } from "./space";

export interface Colours {
  tube: string;
  ring: string;
  collar: string;
  chosen: string;
}

export const kFinest_rad = radians(4);

function meshOf(skin: Skin, colour: string, shininess: number): Mesh {
  const geometry = new BufferGeometry();
  geometry.setAttribute("position", new BufferAttribute(skin.positions, 3));
  geometry.setAttribute("normal", new BufferAttribute(skin.normals, 3));
  geometry.setIndex(new BufferAttribute(skin.indices, 1));
  return new Mesh(geometry, new MeshPhongMaterial({ color: colour, shininess, specular: 0x444444 }));
}

// The section, larger by a hair, where each straight meets its bend.
function rings(line: Line, section: Section, colour: string): LineSegments {
  const grown: Section = {
    ...section,
    height_mm: section.height_mm * 1.012,
    width_mm: section.width_mm * 1.012,
  };
  const rim = outline(grown);
  const rolls = rollsOf(line);
  const points: number[] = [];
  line.segments.forEach((segment, index) => {
    if (segment.radius_mm === 0) return;
    for (const along_mm of [0, segment.length_mm]) {
      const frame = rolled(frameAt(segment, along_mm), -rolls[index]!);
      const v = rolled(frame, Math.PI / 2).inward;
      const at = (k: number): number[] => {
        const p = rim[k % rim.length]!;
        return [...add(frame.at, add(times(frame.inward, p.h), times(v, p.w)))];
      };
      for (let k = 0; k < rim.length; ++k) points.push(...at(k), ...at(k + 1));
    }
  });
  const geometry = new BufferGeometry();
  geometry.setAttribute("position", new BufferAttribute(new Float32Array(points), 3));
  return new LineSegments(geometry, new LineBasicMaterial({ color: colour }));
}

// A raised band at end A: the end can be told by its shape.
function collar(stations: readonly Station[], section: Section, colour: string): Mesh {
  const first = stations[0]!;
  const size = 2 * halfSize(section);
  const room = Math.max(stations[1]!.along_mm - first.along_mm, size * 0.2);
  const length_mm = Math.min(size * 0.9, room);
  const raise_mm = size * 0.09;
  const place = (along_mm: number): Station => ({
    ...first,
    at: add(first.at, times(first.ahead, along_mm)),
  });
  const band: Section = {
    ...section,
    hollow: true,
    height_mm: section.height_mm + 2 * raise_mm,
    width_mm: section.width_mm + 2 * raise_mm,
    wall_mm: raise_mm * 1.5,
    corner_radius_mm: section.corner_radius_mm + raise_mm,
  };
  return meshOf(skinOf([place(0), place(length_mm)], band), colour, 20);
}

// One bend's skin, a hair larger, laid over the tube.
function chosenBend(line: Line, section: Section, bend: number, colour: string): Mesh | null {
  const stations = stationsOf(line, kFinest_rad);
  const first = stations.findIndex((station) => station.bend === bend);
  if (first < 1) return null;
  const own = [stations[first - 1]!, ...stations.filter((station) => station.bend === bend)];
  const grown: Section = {
    ...section,
    hollow: true,
    wall_mm: halfSize(section) * 0.05,
    height_mm: section.height_mm * 1.03,
    width_mm: section.width_mm * 1.03,
  };
  return meshOf(skinOf(own, grown), colour, 30);
}

export function tubeObjects(
  line: Line,
  section: Section,
  colours: Colours,
  chosen: number | null,
): Group {
  const group = new Group();
  const stations = stationsOf(line, kFinest_rad);
  group.add(meshOf(skinOf(stations, section), colours.tube, 60));
  group.add(rings(line, section, colours.ring));
  group.add(collar(stations, section, colours.collar));
  const over = chosen === null ? null : chosenBend(line, section, chosen, colours.chosen);
  if (over) group.add(over);
  return group;
}
