// What this station likes: kept on this computer only, never with the shop's records.
import type { LengthLook, Unit } from "../model/lengths";
import { showLength } from "../model/lengths";
import { inUnit } from "../model/quantities";
import { decimalMark, number, t, tOr } from "../model/words";

export type Theme = "light" | "dark" | "system";
interface Kept {
  unit: Unit;
  fractions: boolean;
  theme: Theme;
  initials: string;
  paper: "a4" | "letter";
}

const place = "bight.settings";

function recall(): Kept {
  const inches = /^(en-US|en-CA|es-MX)/.test(navigator.language);
  const kept: Kept = {
    unit: "mm",
    fractions: false,
    theme: "system",
    initials: "",
    paper: inches ? "letter" : "a4",
  };
  try {
    return { ...kept, ...(JSON.parse(localStorage.getItem(place) ?? "{}") as Partial<Kept>) };
  } catch {
    return kept;
  }
}

class Settings {
  kept = $state<Kept>(recall());
  #systemDark = $state(matchMedia("(prefers-color-scheme: dark)").matches);

  constructor() {
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", (event) => {
      this.#systemDark = event.matches;
    });
  }

  get unit(): Unit {
    return this.kept.unit;
  }
  get dark(): boolean {
    return this.kept.theme === "system" ? this.#systemDark : this.kept.theme === "dark";
  }
  get look(): LengthLook {
    return { unit: this.kept.unit, fractions: this.kept.fractions };
  }

  change(part: Partial<Kept>): void {
    this.kept = { ...this.kept, ...part };
    try {
      localStorage.setItem(place, JSON.stringify(this.kept));
    } catch {
      // A browser that keeps nothing still works until it is closed.
    }
  }
}

export const settings = new Settings();

// A length in the unit of this station, without and with the unit's name.
// Decimals are those of millimetres; thousandths of an inch stand for hundredths of them.
export function length(mm: number | null | undefined, decimals?: number): string {
  if (mm === null || mm === undefined) return "–";
  const look = decimals === undefined ? settings.look : { ...settings.look, decimals: settings.unit === "in" ? decimals + 1 : decimals };
  return showLength(mm, look, decimalMark() === "comma" ? "," : ".");
}
export function lengthWithUnit(mm: number | null | undefined, decimals?: number): string {
  return `${length(mm, decimals)} ${t(settings.unit === "in" ? "unit.in" : "unit.mm")}`;
}
// A clearance: never told larger than it is.
export function clearance(mm: number): string {
  const step = settings.unit === "mm" ? 0.1 : settings.kept.fractions ? 25.4 / 16 : 0.0254;
  return length(Math.floor(mm / step + 1e-6) * step);
}
export function degrees(value: number | null | undefined, decimals = 1): string {
  if (value === null || value === undefined) return "–";
  const text = value.toFixed(decimals);
  const shown = Number(text) === 0 ? text.replace("-", "") : text.replace("-", "−");
  return `${decimalMark() === "comma" ? shown.replace(".", ",") : shown}°`;
}
// Any other quantity with its unit, by the unit the service sends; without decimals to six digits.
export function quantity(value: number, unit: string, decimals?: number): string {
  const shown = inUnit(value, unit, settings.unit);
  const text = decimals === undefined ? number(Number(shown.value.toPrecision(6))) : number(shown.value, decimals);
  return shown.unit ? `${text} ${tOr(`unit.${shown.unit.replace(" ", "")}`, shown.unit)}` : text;
}
