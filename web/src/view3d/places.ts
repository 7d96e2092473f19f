// Finds room for labels round the picture so that none covers the tube or another label.

export interface Point {
  x: number;
  y: number;
}

export interface Wish {
  target: Point; // what the label names
  direction: Point; // where it would best stand, seen from the target; any length
  half_width: number;
  half_height: number;
  nearest: number; // from the target to the label's middle
  farthest: number;
}

interface Rect {
  left: number;
  right: number;
  top: number;
  bottom: number;
}

const kTurns_rad = [0, 0.35, -0.35, 0.7, -0.7, 1.2, -1.2, 1.8, -1.8, 2.5, -2.5, Math.PI];
const kSteps = 5;
const kCell = 5;

// The picture as a raster of small cells, so that a place is tried in a few looks however long the
// tube is: labels are placed anew in every drawn frame.
export class Room {
  private readonly columns: number;
  private readonly rows: number;
  private readonly cells: Uint8Array;

  constructor(
    private readonly width: number,
    private readonly height: number,
  ) {
    this.columns = Math.max(1, Math.ceil(width / kCell));
    this.rows = Math.max(1, Math.ceil(height / kCell));
    this.cells = new Uint8Array(this.columns * this.rows);
  }

  // A thick line no label may cover.
  keepClear(line: readonly (Point & { half: number })[]): void {
    for (let i = 0; i < line.length; ++i) {
      const a = line[i]!;
      const b = line[i + 1] ?? a;
      const half = Math.max(2, Math.min(a.half, 400));
      const step = Math.max(half, kCell);
      const parts = Math.min(200, Math.max(1, Math.ceil(Math.hypot(b.x - a.x, b.y - a.y) / step)));
      for (let k = 0; k < parts; ++k) {
        const share = k / parts;
        this.stamp(a.x + (b.x - a.x) * share, a.y + (b.y - a.y) * share, half);
      }
    }
  }

  // The nearest free middle, preferring the wished direction; it is taken from then on.
  find(wish: Wish): Point | null {
    const at = away(wish);
    for (let i = 0; i < kSteps; ++i) {
      const far = wish.nearest + ((wish.farthest - wish.nearest) * i) / (kSteps - 1);
      for (const turn of kTurns_rad) {
        const middle = at(far, turn);
        const rect = box(middle, wish.half_width, wish.half_height);
        if (!this.free(rect)) continue;
        this.fill(rect);
        return middle;
      }
    }
    return null;
  }

  // The same; where nothing is free: the wished place, pulled inside the picture.
  place(wish: Wish): Point {
    const found = this.find(wish);
    if (found) return found;
    const wished = away(wish)(wish.nearest, 0);
    const inside = {
      x: Math.max(wish.half_width, Math.min(this.width - wish.half_width, wished.x)),
      y: Math.max(wish.half_height, Math.min(this.height - wish.half_height, wished.y)),
    };
    this.fill(box(inside, wish.half_width, wish.half_height));
    return inside;
  }

  private column(x: number): number {
    return Math.max(0, Math.min(this.columns - 1, Math.floor(x / kCell)));
  }
  private row(y: number): number {
    return Math.max(0, Math.min(this.rows - 1, Math.floor(y / kCell)));
  }

  private stamp(x: number, y: number, radius: number): void {
    if (x + radius < 0 || y + radius < 0 || x - radius > this.width || y - radius > this.height) {
      return;
    }
    for (let row = this.row(y - radius); row <= this.row(y + radius); ++row) {
      const dy = Math.max(0, Math.abs((row + 0.5) * kCell - y) - kCell / 2);
      const half = Math.sqrt(Math.max(0, radius * radius - dy * dy));
      const start = row * this.columns;
      this.cells.fill(1, start + this.column(x - half), start + this.column(x + half) + 1);
    }
  }

  private fill(rect: Rect): void {
    for (let row = this.row(rect.top); row <= this.row(rect.bottom); ++row) {
      const start = row * this.columns;
      this.cells.fill(1, start + this.column(rect.left), start + this.column(rect.right) + 1);
    }
  }

  private free(rect: Rect): boolean {
    if (rect.left < 1 || rect.top < 1) return false;
    if (rect.right > this.width - 1 || rect.bottom > this.height - 1) return false;
    const left = this.column(rect.left);
    const right = this.column(rect.right);
    for (let row = this.row(rect.top); row <= this.row(rect.bottom); ++row) {
      const start = row * this.columns;
      for (let column = left; column <= right; ++column) {
        if (this.cells[start + column] !== 0) return false;
      }
    }
    return true;
  }
}

// Places by how far they are from the target and how far off the wished direction.
function away(wish: Wish): (far: number, turn: number) => Point {
  const length = Math.hypot(wish.direction.x, wish.direction.y);
  const heading = length > 1e-6 ? Math.atan2(wish.direction.y, wish.direction.x) : -Math.PI / 2;
  return (far, turn) => ({
    x: wish.target.x + Math.cos(heading + turn) * far,
    y: wish.target.y + Math.sin(heading + turn) * far,
  });
}

function box(middle: Point, half_width: number, half_height: number): Rect {
  return {
    left: middle.x - half_width,
    right: middle.x + half_width,
    top: middle.y - half_height,
    bottom: middle.y + half_height,
  };
}
