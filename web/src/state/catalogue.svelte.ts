// The tables that travel inside the program, with the shop's own metals among them. Fetched once,
// and again when a material of the shop changes.
import type { Catalogue, StockAnswer } from "../model/answers";
import { metalsLike } from "../model/metal_words";
import { sizeText, type Offer } from "../model/shop_offers";
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

// Metals that what is typed may mean, all of them: nobody finds one that the list leaves out.
export async function offerMetals(text: string): Promise<Offer[]> {
  const { metals } = await catalogue();
  return metalsLike(metals, text).map((metal) => ({
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

const kMostSizes = 30;

export async function offerSizes(text: string, material: string): Promise<Offer[]> {
  if (text.trim() === "") return [];
  const found = await station.api.post<StockAnswer>("/stock", {
    query: text,
    units: settings.unit,
    most: kMostSizes + 1,
    ...(material ? { material } : {}),
  });
  const sizes = new Map([...found.matches, ...found.near].map((size) => [size.designation, size]));
  const offers: Offer[] = [...sizes.values()].slice(0, kMostSizes).map((size) => ({
    value: size.designation,
    title: size.designation,
    more: sizeText(size, settings.look),
  }));
  return sizes.size > kMostSizes ? [...offers, { value: "", title: t("offer.further"), more: "", note: true }] : offers;
}
