import type { FindingView, HeardView } from "./listening-contract.js";

/** More than the wires of a vehicle. */
const mostFindings = 200;

/**
 * Which wire carries what, in the order in which it was heard. A plan has no place for the vehicle's own wires: the sheet is
 * printed, taken as a file, or put into the notes of a record.
 */
export class FindingSheet {
  #findings: readonly FindingView[] = [];
  #count = 0;

  get findings(): readonly FindingView[] {
    return this.#findings;
  }

  add(heard: HeardView, place: Pick<FindingView, "wire" | "pin" | "planName">): FindingView {
    this.#count += 1;
    const finding = { id: this.#count, heardAt: new Date().toISOString(), ...place, ...heard };
    this.#findings = [...this.#findings, finding].slice(-mostFindings);
    return finding;
  }

  /** False if it is not there. */
  forget(id: number): boolean {
    const before = this.#findings.length;
    this.#findings = this.#findings.filter((finding) => finding.id !== id);
    return this.#findings.length < before;
  }

  /** The document `pinwalk-wires/1`. */
  document() {
    const wires = this.#findings.map(({ id: _, ...finding }) => finding);
    return { format: "pinwalk-wires/1", wires };
  }
}
