// Writes that could not be sent yet, kept on this computer until the service is there again. Each
// has the key of its wish: sent twice, it is written once.

export interface Keeper {
  getItem(key: string): string | null;
  setItem(key: string, value: string): void;
  removeItem(key: string): void;
}
export interface Pending {
  document: unknown;
  base: unknown; // what it was made from, to put two changes together
  revision: number;
  key: string;
}

export class Queue {
  constructor(private readonly keeper: Keeper) {}

  #place(kind: string, id: string): string {
    return `bight.pending.${kind}.${id}`;
  }

  // Gives false when this computer has no room: the page then says so and stays open.
  hold(kind: string, id: string, pending: Pending): boolean {
    try {
      this.keeper.setItem(this.#place(kind, id), JSON.stringify(pending));
      return true;
    } catch {
      return false;
    }
  }

  held(kind: string, id: string): Pending | null {
    try {
      const text = this.keeper.getItem(this.#place(kind, id));
      return text === null ? null : (JSON.parse(text) as Pending);
    } catch {
      return null;
    }
  }

  drop(kind: string, id: string): void {
    try {
      this.keeper.removeItem(this.#place(kind, id));
    } catch {
      // Nothing was kept then.
    }
  }
}
