// Steps back and forth through values that are never changed in place.
export class Undo<T> {
  #past: { value: T; tag: string }[] = [];
  #future: T[] = [];
  #present: T;
  #tag = "";

  constructor(
    start: T,
    private readonly most = 300,
  ) {
    this.#present = start;
  }

  get present(): T {
    return this.#present;
  }
  get canUndo(): boolean {
    return this.#past.length > 0;
  }
  get canRedo(): boolean {
    return this.#future.length > 0;
  }

  // A new value. Changes in a row with the same tag, such as letters typed into one cell, are one
  // step; an empty tag never joins.
  push(value: T, tag = ""): void {
    if (value === this.#present) return;
    if (tag === "" || tag !== this.#tag) {
      this.#past.push({ value: this.#present, tag: this.#tag });
      if (this.#past.length > this.most) this.#past.shift();
    }
    this.#present = value;
    this.#tag = tag;
    this.#future = [];
  }

  // The present value as it is known better: nothing to go back to.
  replace(value: T): void {
    this.#present = value;
  }

  // Every step as it is seen from now on: something that all of them hold changed elsewhere. Steps
  // that lead to what stands beside them are none any more.
  map(change: (value: T) => T, alike: (a: T, b: T) => boolean): void {
    this.#present = change(this.#present);
    const past: { value: T; tag: string }[] = [];
    for (const { value, tag } of this.#past.toReversed()) {
      const step = { value: change(value), tag };
      if (!alike(step.value, past[0]?.value ?? this.#present)) past.unshift(step);
    }
    this.#past = past;
    const future: T[] = [];
    for (const value of this.#future.map(change).toReversed()) {
      if (!alike(value, future[0] ?? this.#present)) future.unshift(value);
    }
    this.#future = future;
  }

  // What undo or redo would lead to.
  get before(): T | undefined {
    return this.#past.at(-1)?.value;
  }
  get after(): T | undefined {
    return this.#future.at(-1);
  }

  // The next change is a step of its own.
  seal(): void {
    this.#tag = "";
  }

  undo(): T {
    const before = this.#past.pop();
    if (before) {
      this.#future.push(this.#present);
      this.#present = before.value;
      this.#tag = "";
    }
    return this.#present;
  }

  redo(): T {
    const after = this.#future.pop();
    if (after !== undefined) {
      this.#past.push({ value: this.#present, tag: "" });
      this.#present = after;
      this.#tag = "";
    }
    return this.#present;
  }
}
