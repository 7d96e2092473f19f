// The WebGL side of a picture: renderer, lights, camera. It draws when told, never by itself.

import {
  AmbientLight,
  Color,
  DirectionalLight,
  Group,
  HemisphereLight,
  PerspectiveCamera,
  Scene,
  Vector3,
  WebGLRenderer,
  type Object3D,
} from "three";
import { directionsOf, distanceOf, kFieldOfView_rad, placeOf, type Eye, type Screen } from "./eye";
import { degrees } from "./space";

export class Stage {
  readonly scene = new Scene();
  private readonly camera = new PerspectiveCamera(degrees(kFieldOfView_rad), 1, 1, 10);
  private readonly lamp = new DirectionalLight(0xffffff, 2.1);
  private readonly side = new DirectionalLight(0xffffff, 0.6);
  private screen: Screen = { width_px: 0, height_px: 0 };

  private constructor(
    private readonly renderer: WebGLRenderer,
    private readonly canvas: HTMLCanvasElement,
    private readonly lost: () => void,
  ) {
    const lights = new Group();
    lights.add(new AmbientLight(0xffffff, 0.8), new HemisphereLight(0xffffff, 0xa0a5ad, 1.0));
    this.scene.add(lights, this.lamp, this.lamp.target, this.side, this.side.target);
    canvas.addEventListener("webglcontextlost", this.onLost);
  }

  // Null where the browser gives no WebGL. `lost` is called when it takes it away later.
  static open(canvas: HTMLCanvasElement, lost: () => void): Stage | null {
    try {
      const renderer = new WebGLRenderer({ canvas, antialias: true, alpha: true });
      return new Stage(renderer, canvas, lost);
    } catch {
      return null;
    }
  }

  private readonly onLost = (event: Event): void => {
    event.preventDefault();
    this.lost();
  };

  background(colour: string | null): void {
    this.scene.background = colour ? new Color(colour) : null;
  }

  // `reach_mm`: everything lies within this of the eye's target.
  draw(eye: Eye, screen: Screen, reach_mm: number): void {
    if (screen.width_px < 1 || screen.height_px < 1) return;
    if (screen.width_px !== this.screen.width_px || screen.height_px !== this.screen.height_px) {
      this.screen = { ...screen };
      this.renderer.setPixelRatio(Math.min(globalThis.devicePixelRatio || 1, 2));
      this.renderer.setSize(screen.width_px, screen.height_px, false);
    }
    const { right, up, toward } = directionsOf(eye);
    const distance = distanceOf(eye);
    this.camera.aspect = screen.width_px / screen.height_px;
    this.camera.near = Math.max(distance - reach_mm, distance / 200);
    this.camera.far = distance + reach_mm;
    this.camera.position.set(...placeOf(eye));
    this.camera.up.set(...up);
    this.camera.lookAt(new Vector3(...eye.target));
    this.camera.updateProjectionMatrix();
    // The lamps stand with the viewer, so that a turned part is lit the same way.
    const stand = (lamp: DirectionalLight, x: number, y: number, z: number): void => {
      lamp.target.position.set(...eye.target);
      lamp.position.set(
        eye.target[0] + right[0] * x + up[0] * y + toward[0] * z,
        eye.target[1] + right[1] * x + up[1] * y + toward[1] * z,
        eye.target[2] + right[2] * x + up[2] * y + toward[2] * z,
      );
      lamp.target.updateMatrixWorld();
    };
    stand(this.lamp, -0.5, 0.9, 1);
    stand(this.side, 1, -0.3, 0.4);
    this.renderer.render(this.scene, this.camera);
  }

  // The picture as it was last drawn, at the canvas's own resolution.
  picture(): HTMLCanvasElement {
    return this.canvas;
  }

  dispose(): void {
    this.canvas.removeEventListener("webglcontextlost", this.onLost);
    disposeOf(this.scene);
    this.scene.clear();
    this.renderer.dispose();
  }
}

interface Disposable {
  dispose?: () => void;
}

// Frees what an object and everything below it holds on the graphics card.
export function disposeOf(root: Object3D): void {
  root.traverse((object) => {
    const held = object as Object3D & { geometry?: Disposable; material?: Disposable | Disposable[] };
    held.geometry?.dispose?.();
    const materials = Array.isArray(held.material) ? held.material : [held.material];
    for (const material of materials) material?.dispose?.();
  });
}
