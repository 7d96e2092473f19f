// The pictures in space come with three.js and are fetched when first shown. Their files are
// src/view3d/Part3d.svelte and src/view3d/MovingPicture.svelte; a page without them shows none.
import type { Component } from "svelte";

const views = import.meta.glob<{ default: Component<never> }>([
  "../view3d/Part3d.svelte",
  "../view3d/MovingPicture.svelte",
]);

export function slot<Props extends object>(
  name: "Part3d" | "MovingPicture",
): (() => Promise<Component<Props>>) | null {
  const load = views[`../view3d/${name}.svelte`];
  return load ? async () => (await load()).default as unknown as Component<Props> : null;
}
