// The machine, the room and the moving tube as objects of the scene.

import {
  BoxGeometry,
  BufferAttribute,
  BufferGeometry,
  CylinderGeometry,
  DoubleSide,
  EdgesGeometry,
  ExtrudeGeometry,
  Group,
  LineBasicMaterial,
  LineSegments,
  Matrix4,
  Mesh,
  MeshPhongMaterial,
  Shape,
  SphereGeometry,
} from "three";
import type { Film, FilmNearest, FilmPiece, FilmShape, Pose } from "./film";
import { ropeOf } from "./film";
import type { Eye, Screen } from "./eye";
import { add, cross, times, type Vec } from "./space";
import { disposeOf, Stage } from "./stage";

const kRing = 20;

// A tube that changes its shape in every frame: its arrays are kept and filled anew.
class Rope {
  readonly mesh: Mesh;
  private positions = new Float32Array(0);
  private normals = new Float32Array(0);

  constructor(
    private readonly radius_mm: number,
    colour: string,
  ) {
    const material = new MeshPhongMaterial({ color: colour, shininess: 60, specular: 0x444444 });
    this.mesh = new Mesh(new BufferGeometry(), material);
    this.mesh.frustumCulled = false;
  }

  private grow(stations: number): void {
    const room = Math.max(64, stations * 2);
    this.positions = new Float32Array(room * kRing * 3);
    this.normals = new Float32Array(room * kRing * 3);
    const indices = new Uint32Array((room - 1) * kRing * 6);
    let at = 0;
    for (let i = 0; i + 1 < room; ++i) {
      for (let k = 0; k < kRing; ++k) {
        const a = i * kRing + k;
        const b = i * kRing + ((k + 1) % kRing);
        indices.set([a, b, a + kRing, b, b + kRing, a + kRing], at);
        at += 6;
      }
    }
    this.mesh.geometry.dispose();
    const geometry = new BufferGeometry();
    geometry.setAttribute("position", new BufferAttribute(this.positions, 3));
    geometry.setAttribute("normal", new BufferAttribute(this.normals, 3));
    geometry.setIndex(new BufferAttribute(indices, 1));
    this.mesh.geometry = geometry;
  }

  lay(pieces: readonly FilmPiece[]): void {
    const stations = ropeOf(pieces);
    if (stations.length * kRing * 3 > this.positions.length) this.grow(stations.length);
    let at = 0;
    for (const station of stations) {
      const v = cross(station.ahead, station.u);
      for (let k = 0; k < kRing; ++k) {
        const a = (2 * Math.PI * k) / kRing;
        const n = add(times(station.u, Math.cos(a)), times(v, Math.sin(a)));
        this.normals.set(n, at);
        this.positions.set(add(station.at, times(n, this.radius_mm)), at);
        at += 3;
      }
    }
    const { geometry } = this.mesh;
    geometry.setDrawRange(0, Math.max(0, stations.length - 1) * kRing * 6);
    geometry.getAttribute("position").needsUpdate = true;
    geometry.getAttribute("normal").needsUpdate = true;
  }
}

function geometryOf(shape: FilmShape): BufferGeometry | null {
  if (shape.box) return new BoxGeometry(...shape.box.size_mm);
  if (shape.cylinder) {
    const { radius_mm, length_mm } = shape.cylinder;
    // Three's cylinder stands along y; ours along its own z.
    return new CylinderGeometry(radius_mm, radius_mm, length_mm, 40).rotateX(Math.PI / 2);
  }
  if (shape.outline) {
    const outline = new Shape();
    shape.outline.points_mm.forEach(([x, y], index) =>
      index === 0 ? outline.moveTo(x, y) : outline.lineTo(x, y),
    );
    return new ExtrudeGeometry(outline, { depth: shape.outline.height_mm, bevelEnabled: false });
  }
  if (shape.mesh) {
    const geometry = new BufferGeometry();
    const positions = new Float32Array(shape.mesh.points_mm.flat());
    geometry.setAttribute("position", new BufferAttribute(positions, 3));
    geometry.setIndex(shape.mesh.triangles.flat());
    const flat = geometry.toNonIndexed();
    geometry.dispose();
    flat.computeVertexNormals();
    return flat;
  }
  return null;
}

export interface FilmColours {
  tube: string;
  body: string;
  die: string;
  keep: string;
  floor: string;
  edge: string;
  near: string;
  hit: string;
}

function solid(shape: FilmShape, colours: FilmColours, keep_out: boolean): Group {
  const group = new Group();
  const geometry = geometryOf(shape);
  if (!geometry) return group;
  // Where somebody stands is no body: seen through, with its edges drawn.
  const material = new MeshPhongMaterial({
    color: keep_out ? colours.keep : colours.body,
    shininess: 12,
    side: DoubleSide,
    transparent: keep_out,
    opacity: keep_out ? 0.18 : 1,
    depthWrite: !keep_out,
  });
  const edges = new LineSegments(
    new EdgesGeometry(geometry, 25),
    new LineBasicMaterial({ color: keep_out ? colours.keep : colours.edge }),
  );
  group.add(new Mesh(geometry, material), edges);
  return group;
}

// The floor as a grid of half metres round the machine.
function floorGrid(level_mm: number, half_mm: number, colour: string): LineSegments {
  const points: number[] = [];
  const step = 500;
  const reach = Math.ceil(half_mm / step) * step;
  for (let at = -reach; at <= reach; at += step) {
    points.push(-reach, at, level_mm, reach, at, level_mm, at, -reach, level_mm, at, reach, level_mm);
  }
  const geometry = new BufferGeometry();
  geometry.setAttribute("position", new BufferAttribute(new Float32Array(points), 3));
  return new LineSegments(geometry, new LineBasicMaterial({ color: colour }));
}

export class FilmScene {
  private readonly bodies: Group[] = [];
  private readonly die: Group;
  private readonly rope: Rope;
  private readonly pointer: LineSegments;
  private readonly ends: [Mesh, Mesh];

  private constructor(
    private readonly stage: Stage,
    film: Film,
    private readonly colours: FilmColours,
    readonly reach_mm: number,
  ) {
    const { scene } = stage;
    for (const body of film.bodies) {
      const group = solid(body.shape, colours, body.keep_out);
      group.matrixAutoUpdate = false;
      this.bodies.push(group);
      scene.add(group);
    }
    this.die = solid(
      { cylinder: { radius_mm: film.die.radius_mm, length_mm: film.die.height_mm } },
      { ...colours, body: colours.die },
      false,
    );
    // A line on top of the die shows it turning.
    const spoke = new BufferGeometry();
    const top = film.die.height_mm / 2 + 0.5;
    spoke.setAttribute(
      "position",
      new BufferAttribute(new Float32Array([0, 0, top, 0, -film.die.radius_mm, top]), 3),
    );
    this.die.add(new LineSegments(spoke, new LineBasicMaterial({ color: colours.edge })));
    this.die.matrixAutoUpdate = false;
    scene.add(this.die);
    this.rope = new Rope(film.tube.od_mm / 2, colours.tube);
    scene.add(this.rope.mesh);
    if (film.room.floor_mm !== null) {
      scene.add(floorGrid(-film.room.floor_mm, reach_mm, colours.floor));
    }
    const line = new BufferGeometry();
    line.setAttribute("position", new BufferAttribute(new Float32Array(6), 3));
    this.pointer = new LineSegments(line, new LineBasicMaterial({ color: colours.near }));
    this.pointer.frustumCulled = false;
    const ball = (): Mesh =>
      new Mesh(
        new SphereGeometry(film.tube.od_mm * 0.4, 16, 12),
        new MeshPhongMaterial({ color: colours.near }),
      );
    this.ends = [ball(), ball()];
    scene.add(this.pointer, ...this.ends);
  }

  static open(
    canvas: HTMLCanvasElement,
    film: Film,
    colours: FilmColours,
    reach_mm: number,
    lost: () => void,
  ): FilmScene | null {
    const stage = Stage.open(canvas, lost);
    return stage ? new FilmScene(stage, film, colours, reach_mm) : null;
  }

  background(colour: string): void {
    this.stage.background(colour);
  }

  pose(pose: Pose, nearest: FilmNearest | null): void {
    this.rope.lay(pose.tube);
    this.bodies.forEach((body, index) => {
      const matrix = pose.bodies[index];
      if (matrix) body.matrix = new Matrix4().fromArray([...matrix]);
      body.matrixWorldNeedsUpdate = true;
    });
    this.die.matrix = new Matrix4().fromArray([...pose.die]);
    this.die.matrixWorldNeedsUpdate = true;
    const shown = nearest !== null;
    this.pointer.visible = shown;
    for (const end of this.ends) end.visible = shown;
    if (!nearest) return;
    const colour = nearest.hit ? this.colours.hit : this.colours.near;
    (this.pointer.material as LineBasicMaterial).color.set(colour);
    const line = this.pointer.geometry.getAttribute("position") as BufferAttribute;
    line.set([...nearest.on_tube_mm, ...nearest.on_body_mm]);
    line.needsUpdate = true;
    const places: Vec[] = [nearest.on_tube_mm, nearest.on_body_mm];
    this.ends.forEach((end, index) => {
      end.position.set(...places[index]!);
      (end.material as MeshPhongMaterial).color.set(colour);
    });
  }

  draw(eye: Eye, screen: Screen): void {
    this.stage.draw(eye, screen, 3 * this.reach_mm + eye.height_mm);
  }

  picture(): HTMLCanvasElement {
    return this.stage.picture();
  }

  dispose(): void {
    disposeOf(this.stage.scene);
    this.stage.dispose();
  }
}

