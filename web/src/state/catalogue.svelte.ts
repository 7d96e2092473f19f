// The tables that travel inside the program, with the shop's own metals among them. Fetched once,
// and again when a material of the shop changes.
import type { Catalogue, StockAnswer } from "../model/answers";
import type { Offer } from "../model/shop_offers";
import { showStress, stressUnit } from "../model/stress";
import { t } from "../model/words";
import { settings } from "./settings.svelte";
import { station } from "./station.svelte";

let asked: Promise<Catalogue> | null = null;
let heard = false;
let turn = $state(0);

// Read in an effect, it runs again when there is another catalogue.
export const catalogueTurn = (): number => turn;

export function catalogue(): Promise<Catalogue> {
  if (!heard) {
    heard = true;
    station.hear((change) => {
      if (change.kind !== "material") return;
      asked = null;
      ++turn;
    });
  }
  asked ??= station.api.get<Catalogue>("/catalogue").catch((error: unknown) => {
    asked = null;
    throw error;
  });
  return asked;
}

// A strength with its unit, as this station shows it.
export function strength(mpa: number): string {
  return `${showStress(settings.unit === "in" ? mpa : Math.round(mpa), "MPa", settings.unit)} ${stressUnit("MPa", settings.unit)}`;
}

const fold = (text: string): string =>
  text.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase();

// Metals that have every word typed, the shop's own first, then usual ones.
export async function offerMetals(text: string): Promise<Offer[]> {
  const { metals } = await catalogue();
  const words = fold(text).split(/\s+/).filter(Boolean);
  return metals
    .filter((metal) => {
      const all = fold([metal.name, metal.grade, metal.family, metal.number, ...metal.aliases].join(" "));
      return words.every((word) => all.includes(word));
    })
    .sort((a, b) => Number(b.own) - Number(a.own) || Number(b.usual) - Number(a.usual))
    .slice(0, 40)
    .map((metal) => ({
      value: metal.name,
      title: metal.name,
      more: [metal.own ? t("metal.own") : "", metal.family, `Rp0.2 ${strength(metal.rp02_mpa)}`].filter(Boolean).join(" · "),
    }));
}

// Metals of the built-in table alone.
export async function offerBuiltIn(text: string): Promise<Offer[]> {
  const { metals } = await catalogue();
  const built = new Set(metals.filter((metal) => !metal.own || metal.replaces).map((metal) => metal.name));
  return (await offerMetals(text)).filter((offer) => built.has(offer.value));
}

export async function offerSizes(text: string, material: string): Promise<Offer[]> {
  if (text.trim() === "") return [];
  const found = await station.api.post<StockAnswer>("/stock", {
    query: text,
    units: settings.unit,
    most: 20,
    ...(material ? { material } : {}),
  });
  const seen = new Set<string>();
  return [...found.matches, ...found.near].slice(0, 30).flatMap((size) => {
    if (seen.has(size.designation)) return [];
    seen.add(size.designation);
    const real = size.round
      ? `OD ${size.height_mm}`
      : `${size.height_mm} × ${size.width_mm}`;
    const wall = size.wall_mm === null ? "" : ` × ${size.wall_mm}`;
    return [{ value: size.designation, title: size.designation, more: `${real}${wall} mm · ${size.standard}` }];
  });
}
