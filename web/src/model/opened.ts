// What was asked of the service while nothing kept its answers: a page that is open for the first
// time stands before its service worker does. Asked once more, the answers are kept.
export interface Asked {
  address: string;
  how: RequestInit;
}

// Questions that change nothing although they are posted; the worker keeps their answers, too.
const posted = /\/(plan|springback|part\/check|sheet|checklist|keypad|trouble)(\?|$)/;
const passing = /\/(events|session|jobs)(\/|\?|$)/;

export class Opened {
  #asked = new Map<string, Asked>();
  constructor(private readonly most = 80) {}

  note(address: string, how: RequestInit): void {
    const get = (how.method ?? "GET") === "GET";
    if (get ? passing.test(address) : how.method !== "POST" || !posted.test(address)) return;
    // Of a question with a body only the last is of use: the part was changed since.
    this.#asked.delete(address);
    const { signal: _, ...kept } = how;
    this.#asked.set(address, { address, how: kept });
    const first = this.#asked.keys().next().value;
    if (this.#asked.size > this.most && first !== undefined) this.#asked.delete(first);
  }

  // All of it, and forgotten here.
  take(): Asked[] {
    const all = [...this.#asked.values()];
    this.#asked.clear();
    return all;
  }
}
