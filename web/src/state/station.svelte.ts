// This station's line to the service: one Api, whether it is reached, and what changes.
import { Api, Refused, Unreachable } from "../model/api";
import type { Change } from "../model/answers";
import { Opened } from "../model/opened";
import { t } from "../model/words";
import { settings } from "./settings.svelte";

type Heard = (change: Change) => void;

class Station {
  reached = $state(true);
  watching = $state(false);
  // Not there at an address that is neither this computer nor safe.
  #keeper = navigator.serviceWorker as ServiceWorkerContainer | undefined;
  #opened = new Opened();
  readonly api = new Api(
    "./api/v1",
    (address, how) => {
      if (this.#keeper && !this.#keeper.controller) this.#opened.note(address, how);
      return fetch(address, how);
    },
    (reached) => (this.reached = reached),
  );
  #heard = new Set<Heard>();
  #seen = 0;
  #source: EventSource | null = null;

  constructor() {
    this.api.initials = settings.kept.initials;
    this.#keeper?.addEventListener("controllerchange", () => {
      for (const { address, how } of this.#opened.take()) void fetch(address, how).catch(() => undefined);
    });
  }

  setInitials(initials: string): void {
    settings.change({ initials });
    this.api.initials = initials;
  }

  // Calls back for every change of the shop by anyone, from now on. Gives the way to stop.
  hear(heard: Heard): () => void {
    this.#heard.add(heard);
    if (!this.#source) this.#open();
    return () => this.#heard.delete(heard);
  }

  #open(): void {
    const since = this.#seen > 0 ? `?since=${this.#seen}` : "";
    const source = new EventSource(`./api/v1/events${since}`);
    this.#source = source;
    source.onopen = () => {
      this.watching = true;
      this.reached = true;
    };
    source.addEventListener("change", (event) => {
      const change = JSON.parse((event as MessageEvent<string>).data) as Change;
      this.#seen = Math.max(this.#seen, change.change);
      for (const heard of this.#heard) heard(change);
    });
    source.onerror = () => {
      this.watching = false;
      source.close();
      this.#source = null;
      setTimeout(() => this.#heard.size > 0 && !this.#source && this.#open(), 2500);
    };
  }
}

export const station = new Station();

// What went wrong with an answer, as a person is told.
export function plainWords(error: unknown): string {
  if (error instanceof Refused) return [error.first.message, error.first.remedy].filter(Boolean).join(": ");
  return error instanceof Unreachable ? t("watch.away") : String(error);
}
