import { describe, expect, it } from "vitest";
import { crc32, zipOf } from "./film_frames";

const text = (words: string) => new TextEncoder().encode(words);

describe("frames in an archive", () => {
  it("carry the check value of the standard", () => {
    // ISO 3309 / ITU-T V.42: the CRC-32 of the nine digits.
    expect(crc32(text("123456789"))).toBe(0xcbf43926);
  });

  it("are found again by the directory at the archive's end", () => {
    const frames = [
      { name: "frame-0001.png", bytes: text("one") },
      { name: "frame-0002.png", bytes: text("second") },
    ];
    const zip = zipOf(frames);
    const view = new DataView(zip.buffer);
    const end = zip.length - 22;
    expect(view.getUint32(end, true)).toBe(0x06054b50);
    expect(view.getUint16(end + 10, true)).toBe(2);
    let at = view.getUint32(end + 16, true);
    expect(at + view.getUint32(end + 12, true)).toBe(end);
    for (const frame of frames) {
      expect(view.getUint32(at, true)).toBe(0x02014b50);
      const named = view.getUint16(at + 28, true);
      const name = new TextDecoder().decode(zip.slice(at + 46, at + 46 + named));
      expect(name).toBe(frame.name);
      const local = view.getUint32(at + 42, true);
      expect(view.getUint32(local, true)).toBe(0x04034b50);
      const start = local + 30 + view.getUint16(local + 26, true);
      expect([...zip.slice(start, start + view.getUint32(at + 20, true))]).toEqual([...frame.bytes]);
      at += 46 + named;
    }
  });
});
