// The part drawn by lines, where the browser has no WebGL: far pieces first, near pieces over them.

import type { Projection } from "./eye";
import { minus, norm, along, type Vec } from "./space";
import type { Station } from "./line";

export interface Strip {
  path: string;
  width_px: number;
  share: number; // 0 far, 1 near: for the tone
}

const kLongest_ratio = 2.5; // of the tube's size

// Short pieces of the tube in the order they are to be drawn.
export function stripsOf(
  stations: readonly Station[],
  half_mm: number,
  see: Projection,
): Strip[] {
  const pieces: { from: Vec; to: Vec }[] = [];
  for (let i = 0; i + 1 < stations.length; ++i) {
    const a = stations[i]!.at;
    const b = stations[i + 1]!.at;
    const length_mm = norm(minus(b, a));
    if (length_mm < 1e-9) continue;
    const parts = Math.min(400, Math.max(1, Math.ceil(length_mm / (2 * half_mm * kLongest_ratio))));
    const direction = minus(b, a);
    for (let k = 0; k < parts; ++k) {
      pieces.push({ from: along(a, direction, k / parts), to: along(a, direction, (k + 1) / parts) });
    }
  }
  const drawn = pieces.map(({ from, to }) => {
    const a = see(from);
    const b = see(to);
    const depth = (a.depth_mm + b.depth_mm) / 2;
    // A hair longer than the piece, so that no gap shows between neighbours.
    const length = Math.hypot(b.x_px - a.x_px, b.y_px - a.y_px);
    const over = length > 1e-9 ? 0.6 / length : 0;
    const x = (b.x_px - a.x_px) * over;
    const y = (b.y_px - a.y_px) * over;
    const at = (px: number, py: number): string => `${px.toFixed(1)} ${py.toFixed(1)}`;
    return {
      depth,
      path: `M${at(a.x_px - x, a.y_px - y)}L${at(b.x_px + x, b.y_px + y)}`,
      width_px: Math.max(1, half_mm * (a.px_per_mm + b.px_per_mm)),
    };
  });
  drawn.sort((a, b) => b.depth - a.depth);
  const far = drawn[0]?.depth ?? 0;
  const near = drawn.at(-1)?.depth ?? 0;
  const range = Math.max(far - near, 1e-9);
  return drawn.map(({ path, width_px, depth }) => ({ path, width_px, share: (far - depth) / range }));
}
