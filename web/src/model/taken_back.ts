// Trial bends that were taken back, of one die and tube: they can be brought back.
import type { Rec } from "./answers";
import { lengthOf } from "./shelf_pictures";

export interface TubeInDie {
  die: string;
  od_mm: number;
  wall_mm: number | null;
}

// As trials are matched with a part: the die's name, OD to a quarter millimetre, wall to a tenth.
export function takenBack(records: readonly Rec[], of: TubeInDie, also: ReadonlySet<string>): Rec[] {
  return records.filter((record) => {
    if (!record.withdrawn) return false;
    if (also.has(record.id)) return true;
    const d = record.document;
    const [od, wall] = [lengthOf(d, "od"), lengthOf(d, "wall")];
    if (d["die"] !== of.die || od === null || Math.abs(od - of.od_mm) > 0.25) return false;
    return of.wall_mm === null || (wall !== null && Math.abs(wall - of.wall_mm) <= 0.1 * of.wall_mm);
  });
}
