// What the shop has, as it stands now. Fetched once, and again when something of it changes.
import type { ShopSummary, StockAnswer } from "../model/answers";
import { dieSizeOffers, rackOffers, radiusOffers, type Offer, type Tube } from "../model/shop_offers";
import { t } from "../model/words";
import { offerSizes } from "./catalogue.svelte";
import { settings } from "./settings.svelte";
import { station } from "./station.svelte";

let asked: Promise<ShopSummary> | null = null;
let heard = false;

export function shopNow(): Promise<ShopSummary> {
  if (!heard) {
    heard = true;
    station.hear((change) => {
      if (["tube", "die_set", "bender", "material", "house"].includes(change.kind)) asked = null;
    });
  }
  asked ??= station.api.get<ShopSummary>("/shop/summary").catch((error: unknown) => {
    asked = null;
    throw error;
  });
  return asked;
}

// Tube for a job: what lies in the rack, what the dies take, then the tables.
export async function offerTube(text: string, material: string): Promise<Offer[]> {
  const [shop, listed] = await Promise.all([shopNow().catch(() => null), offerSizes(text, material).catch(() => [])]);
  const own = shop ? [...rackOffers(shop, text, material, settings.look), ...dieSizeOffers(shop, text, settings.look)] : [];
  const there = new Set(own.map((offer) => offer.value));
  return [...own, ...listed.filter((offer) => !there.has(offer.value)).map((offer) => ({ ...offer, group: t("offer.catalogue") }))];
}

// The outside of a tube as typed; null where nobody knows it yet.
async function tubeOf(size: string): Promise<Tube | null> {
  if (size.trim() === "") return null;
  const found = await station.api
    .post<StockAnswer>("/stock", { query: size, units: settings.unit, most: 1 })
    .catch(() => null);
  return found?.matches[0] ?? null;
}

export async function offerRadii(text: string, size: string): Promise<Offer[]> {
  const [shop, tube] = await Promise.all([shopNow(), tubeOf(size)]);
  return radiusOffers(shop, tube, text, settings.look);
}
