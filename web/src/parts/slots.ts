// The pictures in space come with three.js and are fetched when first shown. Their files are
// src/view3d/Part3d.svelte and src/view3d/MovingPicture.svelte; a page without them shows none.
import type { Component } from "svelte";
import type { Unit } from "../model/lengths";
import type { BendTable } from "../model/answers";

export interface Part3dProps {
  part: BendTable & { tube: TubeSize };
  unit: Unit;
  dark: boolean;
  selected?: number | undefined; // a bend, from 1
  onselect?: ((bend: number) => void) | undefined;
}
export interface TubeSize {
  od_mm?: number;
  height_mm?: number;
  width_mm?: number;
  wall_mm?: number | null;
}

const views = import.meta.glob<{ default: Component<never> }>("../view3d/*.svelte");

export function slot<Props extends object>(
  name: "Part3d" | "MovingPicture",
): (() => Promise<Component<Props>>) | null {
  const load = views[`../view3d/${name}.svelte`];
  return load ? async () => (await load()).default as unknown as Component<Props> : null;
}
