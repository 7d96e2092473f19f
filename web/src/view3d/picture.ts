// The WebGL picture of one part. Loaded on demand: with it comes three.js.

import type { Eye, Screen } from "./eye";
import { sizeOf, spanOf, stationsOf, type Line } from "./line";
import { halfSize, type Section } from "./skin";
import { disposeOf, Stage } from "./stage";
import { kFinest_rad, tubeObjects } from "./tube_objects";
import type { Group } from "three";

export class Picture {
  private group: Group | null = null;
  private reach_mm = 1;

  private constructor(private readonly stage: Stage) {}

  static open(canvas: HTMLCanvasElement, lost: () => void): Picture | null {
    const stage = Stage.open(canvas, lost);
    return stage ? new Picture(stage) : null;
  }

  // Colours are those the element `look` has in its style.
  show(line: Line | null, section: Section | null, chosen: number | null, look: Element): void {
    if (this.group) {
      this.stage.scene.remove(this.group);
      disposeOf(this.group);
      this.group = null;
    }
    if (!line || !section) return;
    const style = getComputedStyle(look);
    const colour = (name: string): string => style.getPropertyValue(name).trim() || "#888888";
    this.group = tubeObjects(
      line,
      section,
      {
        tube: colour("--tube"),
        ring: colour("--ring"),
        collar: colour("--collar"),
        chosen: colour("--mark"),
      },
      chosen,
    );
    this.stage.scene.add(this.group);
    this.reach_mm = sizeOf(spanOf(stationsOf(line, kFinest_rad), halfSize(section)));
  }

  draw(eye: Eye, screen: Screen, size_mm: number): void {
    // What has been moved aside still lies within its size and the way it was moved.
    this.stage.draw(eye, screen, 2 * Math.max(size_mm, this.reach_mm) + eye.height_mm);
  }

  dispose(): void {
    this.stage.dispose();
  }
}
