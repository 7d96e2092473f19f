// The tables that travel inside the program: metals, shapes, rules. Fetched once.
import type { Catalogue, StockAnswer } from "../model/answers";
import { settings } from "./settings.svelte";
import { station } from "./station.svelte";

let asked: Promise<Catalogue> | null = null;

export function catalogue(): Promise<Catalogue> {
  asked ??= station.api.get<Catalogue>("/catalogue").catch((error: unknown) => {
    asked = null;
    throw error;
  });
  return asked;
}

export interface Offer {
  value: string;
  title: string;
  more: string;
}

const fold = (text: string): string =>
  text.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase();

// Metals that have every word typed, usual ones first.
export async function offerMetals(text: string): Promise<Offer[]> {
  const { metals } = await catalogue();
  const words = fold(text).split(/\s+/).filter(Boolean);
  return metals
    .filter((metal) => {
      const all = fold([metal.name, metal.grade, metal.family, metal.number, ...metal.aliases].join(" "));
      return words.every((word) => all.includes(word));
    })
    .sort((a, b) => Number(b.usual) - Number(a.usual))
    .slice(0, 40)
    .map((metal) => ({
      value: metal.name,
      title: metal.name,
      more: `${metal.family} · Rp0.2 ${Math.round(metal.rp02_mpa)} MPa`,
    }));
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
