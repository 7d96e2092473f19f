// Files that were dropped onto the page, waiting for a job to be made of each.
class Dropped {
  waiting = $state.raw<File[]>([]);
  strange = $state.raw<string[]>([]); // names of those that nothing here reads

  turn = $state(0); // of taking

  take(files: readonly File[]): void {
    const known = files.filter((file) => /\.(step|stp|csv|tsv|txt|dxf|toml|json)$/i.test(file.name));
    this.waiting = [...known, ...this.waiting.filter((old) => !known.some((file) => file.name === old.name))];
    this.turn += known.length > 0 ? 1 : 0;
    this.strange = files.filter((file) => !known.includes(file)).map((file) => file.name);
  }
  done(file: File): void {
    this.waiting = this.waiting.filter((one) => one !== file);
    this.strange = [];
  }
  forget(): void {
    this.waiting = [];
    this.strange = [];
  }
}

export const dropped = new Dropped();

export const bringsFiles = (event: DragEvent): boolean => event.dataTransfer?.types.includes("Files") ?? false;
