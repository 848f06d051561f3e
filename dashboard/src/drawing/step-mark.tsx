type StepState = "done" | "now" | "next" | "to-come" | "left-out" | "stopped";

/** How far a step is, told by its outline: tick, full disc, arrow, ring, ring struck through, half disc. */
export function StepMark({ state }: { state: StepState }) {
  return (
    <svg class={`step-mark step-mark-${state}`} width="22" height="22" viewBox="0 0 24 24" aria-hidden="true">
      {marks[state]}
    </svg>
  );
}

const ring = <circle cx="12" cy="12" r="9" fill="none" stroke="currentColor" stroke-width="2.2" />;

const marks = {
  done: (
    <>
      <circle cx="12" cy="12" r="10" fill="currentColor" />
      <path class="step-mark-line" d="M7 12.5l3.3 3.4 6.7-7.6" />
    </>
  ),
  now: (
    <>
      {ring}
      <circle cx="12" cy="12" r="5.5" fill="currentColor" />
    </>
  ),
  next: <path d="M3 5h9l9 7-9 7H3z" fill="currentColor" />,
  "to-come": ring,
  "left-out": (
    <>
      {ring}
      <path d="M5.5 18.5l13-13" stroke="currentColor" stroke-width="2.2" />
    </>
  ),
  stopped: (
    <>
      {ring}
      <path d="M12 3a9 9 0 0 0 0 18z" fill="currentColor" />
    </>
  ),
} as const;
