// Turning, moving and zooming by mouse, touch and keys, on any element.

import { movedBy, radiansPerPixel, turnedBy, zoomedBy, type Eye, type Screen } from "./eye";
import { radians } from "./space";

export interface Held {
  eye: () => Eye;
  set: (eye: Eye) => void;
  screen: () => Screen;
  size_mm: () => number;
  home: () => void; // the whole part again
  tapped?: (x_px: number, y_px: number) => void; // pressed and let go in one place
}

const kKeyTurn_rad = radians(7.5);
const kKeyMove_px = 32;
const kKeyZoom_ratio = 1.2;

// The eye after a key; null when the key means nothing here.
export function eyeAfterKey(
  eye: Eye,
  key: string,
  shift: boolean,
  screen: Screen,
  size_mm: number,
): Eye | null {
  const arrows: Record<string, [number, number]> = {
    ArrowLeft: [-1, 0],
    ArrowRight: [1, 0],
    ArrowUp: [0, -1],
    ArrowDown: [0, 1],
  };
  const arrow = arrows[key];
  if (arrow) {
    const [x, y] = arrow;
    if (shift) return movedBy(eye, -x * kKeyMove_px, -y * kKeyMove_px, screen);
    return turnedBy(eye, x * kKeyTurn_rad, -y * kKeyTurn_rad);
  }
  if (key === "+" || key === "=") return zoomedBy(eye, kKeyZoom_ratio, size_mm);
  if (key === "-" || key === "_") return zoomedBy(eye, 1 / kKeyZoom_ratio, size_mm);
  return null;
}

interface Finger {
  x: number;
  y: number;
}

// Listens until the returned function is called. One finger or the left button turns; two fingers,
// the right or middle button, or Shift moves; wheel or pinch zooms.
export function listen(element: HTMLElement, held: Held): () => void {
  const fingers = new Map<number, Finger>();
  let moving = false;
  let travelled_px = 0;

  const spread = (): number => {
    const [a, b] = [...fingers.values()];
    return a && b ? Math.hypot(a.x - b.x, a.y - b.y) : 0;
  };
  const down = (event: PointerEvent): void => {
    fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
    element.setPointerCapture(event.pointerId);
    travelled_px = 0;
    moving = event.button === 1 || event.button === 2 || event.shiftKey;
    element.focus({ preventScroll: true });
    if (event.button === 1) event.preventDefault();
  };
  const move = (event: PointerEvent): void => {
    const finger = fingers.get(event.pointerId);
    if (!finger) return;
    const before = spread();
    const share = 1 / fingers.size;
    const dx = event.clientX - finger.x;
    const dy = event.clientY - finger.y;
    finger.x = event.clientX;
    finger.y = event.clientY;
    travelled_px += Math.hypot(dx, dy);
    const screen = held.screen();
    if (fingers.size > 1) {
      let eye = movedBy(held.eye(), dx * share, dy * share, screen);
      const after = spread();
      if (before > 0 && after > 0) eye = zoomedBy(eye, after / before, held.size_mm());
      held.set(eye);
    } else if (moving) {
      held.set(movedBy(held.eye(), dx, dy, screen));
    } else {
      const k = radiansPerPixel(screen);
      held.set(turnedBy(held.eye(), -dx * k, dy * k));
    }
  };
  const up = (event: PointerEvent): void => {
    if (fingers.delete(event.pointerId) && fingers.size === 0 && travelled_px < 6) {
      const bounds = element.getBoundingClientRect();
      held.tapped?.(event.clientX - bounds.left, event.clientY - bounds.top);
    }
  };
  const wheel = (event: WheelEvent): void => {
    event.preventDefault();
    const lines = event.deltaMode === 1 ? 16 : event.deltaMode === 2 ? 400 : 1;
    const factor = Math.exp((-event.deltaY * lines) / 600);
    held.set(zoomedBy(held.eye(), factor, held.size_mm()));
  };
  const key = (event: KeyboardEvent): void => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.key === "Home" || event.key === "0") {
      event.preventDefault();
      held.home();
      return;
    }
    const eye = eyeAfterKey(
      held.eye(),
      event.key,
      event.shiftKey,
      held.screen(),
      held.size_mm(),
    );
    if (!eye) return;
    event.preventDefault();
    held.set(eye);
  };
  const menu = (event: Event): void => event.preventDefault();

  element.addEventListener("pointerdown", down);
  element.addEventListener("pointermove", move);
  element.addEventListener("pointerup", up);
  element.addEventListener("pointercancel", up);
  element.addEventListener("wheel", wheel, { passive: false });
  element.addEventListener("keydown", key);
  element.addEventListener("contextmenu", menu);
  return () => {
    element.removeEventListener("pointerdown", down);
    element.removeEventListener("pointermove", move);
    element.removeEventListener("pointerup", up);
    element.removeEventListener("pointercancel", up);
    element.removeEventListener("wheel", wheel);
    element.removeEventListener("keydown", key);
    element.removeEventListener("contextmenu", menu);
  };
}
