/** Counts the open pages of each person. */
export class Attendance {
  readonly #pages = new Map<string, number>();

  /** A page of this person has opened; call what is returned, once, when it is gone. */
  enter(personId: string): () => void {
    this.#pages.set(personId, this.pages(personId) + 1);
    let here = true;
    return () => {
      if (!here) return;
      here = false;
      const left = this.pages(personId) - 1;
      if (left > 0) this.#pages.set(personId, left);
      else this.#pages.delete(personId);
    };
  }

  pages(personId: string): number {
    return this.#pages.get(personId) ?? 0;
  }

  isHere(personId: string): boolean {
    return this.#pages.has(personId);
  }

  get empty(): boolean {
    return this.#pages.size === 0;
  }
}
