// A film as single pictures, packed into one file that every computer can open.

export interface Frame {
  name: string;
  bytes: Uint8Array;
}

const kFramesPerSecond = 12;
const kMostFrames = 600;

// Shows every moment in turn and keeps what the canvas then holds.
export async function pngFrames(
  length_s: number,
  canvas: HTMLCanvasElement,
  show: (time_s: number) => void,
): Promise<Frame[]> {
  const count = Math.max(2, Math.min(kMostFrames, Math.ceil(length_s * kFramesPerSecond) + 1));
  const frames: Frame[] = [];
  for (let index = 0; index < count; ++index) {
    show((length_s * index) / (count - 1));
    // In the same task as the drawing: the canvas is emptied after it.
    const blob = await new Promise<Blob | null>((done) => canvas.toBlob(done, "image/png"));
    if (!blob) continue;
    const name = `frame-${String(index + 1).padStart(4, "0")}.png`;
    frames.push({ name, bytes: new Uint8Array(await blob.arrayBuffer()) });
  }
  return frames;
}

const kTable = Uint32Array.from({ length: 256 }, (_, n) => {
  let c = n;
  for (let k = 0; k < 8; ++k) c = c & 1 ? 0xedb88320 ^ (c >>> 1) : c >>> 1;
  return c;
});

// Cyclic redundancy check of ISO 3309, as archives carry it.
export function crc32(bytes: Uint8Array): number {
  let c = 0xffffffff;
  for (const byte of bytes) c = kTable[(c ^ byte) & 0xff]! ^ (c >>> 8);
  return (c ^ 0xffffffff) >>> 0;
}

// A ZIP archive with its entries stored as they are (ISO/IEC 21320-1): PNG does not shrink further.
export function zipOf(frames: readonly Frame[]): Uint8Array<ArrayBuffer> {
  const text = new TextEncoder();
  const locals: Uint8Array[] = [];
  const centrals: Uint8Array[] = [];
  let offset = 0;
  for (const frame of frames) {
    const name = text.encode(frame.name);
    const head = new DataView(new ArrayBuffer(26));
    head.setUint16(0, 20, true); // version needed
    head.setUint16(2, 0x0800, true); // names are UTF-8
    head.setUint16(8, 0x21, true); // 1980-01-01: the same file every time
    head.setUint32(10, crc32(frame.bytes), true);
    head.setUint32(14, frame.bytes.length, true);
    head.setUint32(18, frame.bytes.length, true);
    head.setUint16(22, name.length, true);
    const shared = new Uint8Array(head.buffer);
    const local = joined([Uint8Array.of(0x50, 0x4b, 3, 4), shared, name]);
    const rest = new DataView(new ArrayBuffer(14));
    rest.setUint32(10, offset, true);
    centrals.push(
      joined([
        Uint8Array.of(0x50, 0x4b, 1, 2, 20, 0),
        shared,
        new Uint8Array(rest.buffer),
        name,
      ]),
    );
    locals.push(local, frame.bytes);
    offset += local.length + frame.bytes.length;
  }
  const size = centrals.reduce((sum, one) => sum + one.length, 0);
  const end = new DataView(new ArrayBuffer(22));
  end.setUint32(0, 0x06054b50, true);
  end.setUint16(8, frames.length, true);
  end.setUint16(10, frames.length, true);
  end.setUint32(12, size, true);
  end.setUint32(16, offset, true);
  return joined([...locals, ...centrals, new Uint8Array(end.buffer)]);
}

function joined(parts: readonly Uint8Array[]): Uint8Array<ArrayBuffer> {
  const out = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    out.set(part, at);
    at += part.length;
  }
  return out;
}

export function save(bytes: Uint8Array<ArrayBuffer>, name: string, type: string): void {
  const address = URL.createObjectURL(new Blob([bytes], { type }));
  const link = document.createElement("a");
  link.href = address;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}
