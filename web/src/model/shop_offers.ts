// What the shop itself has to offer while a job is typed: the radii of its die sets, the tube in its
// rack, the sizes its dies take.
import type { DieSetLine, RackLine, RackSection, ShopSummary, StockSize } from "./answers";
import { editLength, type LengthLook } from "./lengths";
import { withUnit } from "./shelf_list";
import { t } from "./words";

export interface Offer {
  value: string; // what the field holds when it is taken
  title: string;
  more: string;
  group?: string; // said once above the first of its kind
  further?: boolean; // not whole yet: the list stays open for the rest
  material?: string; // what lies there is of
  note?: boolean; // nothing to take: said below the list
}
type Shop = Pick<ShopSummary, "die_sets" | "rack" | "groove_slack_mm">;
export interface Tube {
  round: boolean;
  height_mm: number;
  width_mm: number;
}

// The same rule by which planning finds a die for a tube.
export function takes(die: DieSetLine, tube: Tube, slack_mm: number): boolean {
  const off = (a: number, b: number): boolean => Math.abs(a - b) <= slack_mm + 1e-9;
  return die.round === tube.round && off(tube.height_mm, die.height_mm) && off(tube.width_mm, die.width_mm);
}

const lengthText = (mm: number, look: LengthLook): string => `${editLength(mm, look.unit)} ${look.unit}`;

// What a listed size measures, in the unit of this station; its standard where its name lacks it.
export function sizeText(size: Pick<StockSize, "designation" | "standard" | "round" | "height_mm" | "width_mm" | "wall_mm">, look: LengthLook): string {
  const sides = [size.height_mm, ...(size.round ? [] : [size.width_mm]), ...(size.wall_mm === null ? [] : [size.wall_mm])];
  const measures = `${size.round ? "OD " : ""}${sides.map((mm) => editLength(mm, look.unit)).join(" × ")} ${t(look.unit === "in" ? "unit.in" : "unit.mm")}`;
  const standard = size.designation.includes(size.standard) ? "" : size.standard;
  return [measures, standard].filter(Boolean).join(" · ");
}

// Radii of the die sets that take the tube first, then the others; one entry a radius.
export function radiusOffers(shop: Shop, tube: Tube | null, typed: string, look: LengthLook): Offer[] {
  const byRadius = (list: DieSetLine[]): DieSetLine[][] => {
    const sorted = [...list].sort((a, b) => a.radius_mm - b.radius_mm);
    const out: DieSetLine[][] = [];
    for (const die of sorted) {
      const same = out.at(-1);
      if (same && Math.abs(same[0]!.radius_mm - die.radius_mm) < 5e-4) same.push(die);
      else out.push([die]);
    }
    return out;
  };
  const fits = tube === null ? [] : shop.die_sets.filter((die) => takes(die, tube, shop.groove_slack_mm));
  const others = shop.die_sets.filter((die) => !fits.includes(die));
  const offers = (list: DieSetLine[], group: string): Offer[] =>
    byRadius(list).map((dies) => ({
      value: lengthText(dies[0]!.radius_mm, look),
      title: withUnit(dies[0]!.radius_mm, look),
      more: dies.map((die) => `${die.name}${fits.includes(die) ? "" : ` (${grooveText(die, look)})`}`).join(", "),
      group,
    }));
  const wanted = typed.trim().toLowerCase();
  return [
    ...offers(fits, t("offer.dies_fit")),
    ...offers(others, t(tube === null ? "offer.dies" : "offer.dies_other")),
  ].filter((offer) => wanted === "" || offer.value.startsWith(wanted) || offer.more.toLowerCase().includes(wanted));
}

function grooveText({ round, height_mm, width_mm }: Tube, look: LengthLook): string {
  return round ? withUnit(height_mm, look) : `${editLength(height_mm, look.unit)} × ${withUnit(width_mm, look)}`;
}

// "25x1.5" is found by "25 X 1,5".
const squeezed = (text: string): string => text.toLowerCase().replaceAll(",", ".").replace(/[×*]/g, "x").replace(/[^a-z0-9./]/g, "");
const plainSize = (section: RackSection | null): string =>
  section === null ? "" : [section.height_mm, ...(section.shape === "round" ? [] : [section.width_mm]), section.wall_mm].filter((one) => one !== null).join("x");

// How much of one size and metal lies there, the longest sticks first.
function amount(lines: readonly RackLine[], look: LengthLook): string {
  const sorted = [...lines].sort((a, b) => (b.length_mm ?? 0) - (a.length_mm ?? 0));
  return sorted
    .map((line) => (line.length_mm === null ? t("shop.sticks", { n: line.pieces }) : t("shop.sticks_of", { n: line.pieces, length: withUnit(line.length_mm, look) })))
    .join(", ");
}

// What lies in the rack and fits what is typed, that of the metal first.
export function rackOffers(shop: Shop, typed: string, material: string, look: LengthLook): Offer[] {
  const wanted = squeezed(typed);
  const found = shop.rack.filter(
    (line) => line.pieces > 0 && [line.size, line.designation, plainSize(line.section)].some((name) => squeezed(name).startsWith(wanted)),
  );
  const heaps = new Map<string, RackLine[]>();
  for (const line of found) {
    const key = `${line.designation || line.size}\n${line.material}`;
    heaps.set(key, [...(heaps.get(key) ?? []), line]);
  }
  const size = ([line]: RackLine[]): number => line?.section?.height_mm ?? 1e9;
  const other = ([line]: RackLine[]): number => Number(material !== "" && line?.material !== material);
  return [...heaps.values()]
    .sort((a, b) => other(a) - other(b) || size(a) - size(b))
    .map((lines) => ({
      value: lines[0]!.size,
      title: lines[0]!.size,
      more: [lines[0]!.material, amount(lines, look)].filter(Boolean).join(" · "),
      group: t("offer.rack"),
      material: lines[0]!.material,
    }));
}

// Outside sizes that the shop has dies for; the wall is typed after it.
export function dieSizeOffers(shop: Shop, typed: string, look: LengthLook): Offer[] {
  const wanted = squeezed(typed);
  const sizes = new Map<string, DieSetLine[]>();
  for (const die of [...shop.die_sets].sort((a, b) => a.height_mm - b.height_mm || a.width_mm - b.width_mm)) {
    const outside = die.round ? [die.height_mm] : [die.height_mm, die.width_mm];
    const value = `${outside.map((mm) => editLength(mm, look.unit)).join(" x ")}${look.unit === "in" ? " in" : ""} x `;
    sizes.set(value, [...(sizes.get(value) ?? []), die]);
  }
  return [...sizes]
    .filter(([value]) => squeezed(value).startsWith(wanted) && squeezed(value) !== wanted && squeezed(value) !== `${wanted}x`)
    .map(([value, dies]) => ({
      value,
      title: grooveText(dies[0]!, look),
      more: t("offer.wall_next", { dies: dies.map((die) => die.name).join(", ") }),
      group: t("offer.die_sizes"),
      further: true,
    }));
}
