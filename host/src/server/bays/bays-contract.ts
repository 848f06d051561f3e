/** What a browser knows of the other bays: each a workbench of its own, with bench, plan and walk. */
interface BayView {
  readonly number: number;
  readonly bench: string | null;
  readonly plan: string | null;
  /** Whether a job with its bench goes on. */
  readonly busy: boolean;
}

export interface BaysView {
  readonly list: readonly BayView[];
  /** A further one that can be opened; null where there are enough. */
  readonly next: number | null;
}
