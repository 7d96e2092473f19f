import { describe, expect, it } from "vitest";
import { nearestTime, poseAt, ropeOf, timelineOf, turned, type Film, type FilmPiece } from "./film";
import { dot, minus, norm, radians, type Vec } from "./space";

const identity = [1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1];
const R = 100;

// A bend about the origin to `angle`: tube runs in along y = -R and turns towards +y.
function bentTo(angle_deg: number): FilmPiece[] {
  const a = radians(angle_deg);
  const end: Vec = [R * Math.sin(a), -R * Math.cos(a), 0];
  const ahead: Vec = [Math.cos(a), Math.sin(a), 0];
  return [
    { straight: { a: [-300, -R, 0], b: [0, -R, 0] } },
    { arc: { centre: [0, 0, 0], start: [0, -R, 0], normal: [0, 0, 1], angle_deg } },
    { straight: { a: end, b: [end[0] + 200 * ahead[0], end[1] + 200 * ahead[1], 0] } },
  ];
}
const moment = (stage: string, share: number, angle_deg: number) => ({
  stage,
  share,
  angle_deg,
  tube: bentTo(angle_deg),
  bodies: [],
  die: identity,
});
const film: Film = {
  bodies: [],
  die: { radius_mm: R, height_mm: 40 },
  tube: { od_mm: 25 },
  room: { floor_mm: 900, ceiling_mm: null, walls: [] },
  steps: [
    {
      bend: 1,
      nearest: {
        low_mm: 12,
        high_mm: 12.1,
        body: "floor",
        stage: "bend",
        share: 0.5,
        along_mm: 1,
        on_tube_mm: [0, 0, 0],
        on_body_mm: [0, 0, -900],
        hit: false,
      },
      moments: [
        moment("clamp", 0, 0),
        moment("clamp", 1, 0),
        ...Array.from({ length: 46 }, (_, k) => moment("bend", k / 45, 2 * k)),
        moment("release", 0, 90),
        moment("release", 1, 86),
      ],
    },
    { bend: 2, nearest: null, moments: [moment("load", 0, 0), moment("load", 1, 0)] },
  ],
};
const timeline = timelineOf(film);

describe("a film", () => {
  it("runs stage after stage, step after step", () => {
    for (let i = 1; i < timeline.ticks.length; ++i) {
      expect(timeline.ticks[i]!.at_s).toBeGreaterThanOrEqual(timeline.ticks[i - 1]!.at_s);
    }
    expect(timeline.step_starts_s).toHaveLength(2);
    expect(timeline.length_s).toBeGreaterThan(timeline.step_starts_s[1]!);
  });

  it("shows the bend between two moments where the closed form has it", () => {
    const start = timeline.ticks.find((tick) => tick.moment === 2)!.at_s;
    const end = timeline.ticks.find((tick) => tick.moment === 47)!.at_s;
    for (const share of [0.013, 0.31, 0.77]) {
      const pose = poseAt(film, timeline, start + (end - start) * share)!;
      expect(pose.stage).toBe("bend");
      expect(pose.angle_deg).toBeCloseTo(90 * share, 9);
      const own = pose.tube[2] as { straight: { b: Vec } };
      const want = bentTo(90 * share)[2] as { straight: { b: Vec } };
      // Chord against arc over 2°: reach (1 - cos 1°) = 0.00015 of it.
      expect(norm(minus(own.straight.b, want.straight.b))).toBeLessThan(0.00016 * 300);
    }
  });

  it("does not slide from one stage or step into the next", () => {
    const last = timeline.step_starts_s[1]! - 1e-9;
    expect(poseAt(film, timeline, last)!.step).toBe(0);
    expect(poseAt(film, timeline, timeline.step_starts_s[1]!)!.step).toBe(1);
    expect(poseAt(film, timeline, 1e9)!.step).toBe(1);
    expect(poseAt({ ...film, steps: [] }, timelineOf({ ...film, steps: [] }), 0)).toBeNull();
  });

  it("lays the tube's middle line without a twist and without a gap", () => {
    const stations = ropeOf(bentTo(75));
    for (const station of stations) {
      expect(Math.abs(dot(station.u, station.ahead))).toBeLessThan(1e-9);
      expect(norm(station.u)).toBeCloseTo(1, 9);
    }
    for (let i = 1; i < stations.length; ++i) {
      expect(dot(stations[i]!.u, stations[i - 1]!.u)).toBeGreaterThan(0.9);
    }
    const onArc = stations.filter((s) => Math.abs(Math.hypot(s.at[0], s.at[1]) - R) < 1e-9);
    expect(onArc.length).toBeGreaterThan(10);
  });

  it("turns right-handed about an axis", () => {
    expect(turned([1, 0, 0], [0, 0, 1], Math.PI / 2)[1]).toBeCloseTo(1, 12);
  });

  it("finds the moment a step comes nearest", () => {
    const at = nearestTime(film, timeline, 0)!;
    expect(poseAt(film, timeline, at)!.angle_deg).toBeGreaterThan(43);
    expect(poseAt(film, timeline, at)!.angle_deg).toBeLessThan(47);
    expect(nearestTime(film, timeline, 1)).toBeNull();
  });
});
