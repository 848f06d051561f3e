import type { Tone } from "../words/verdict-words.js";

/** Marks that differ in outline, so that they can be told apart without their colour. */
export function ToneIcon({ tone, size = 20 }: { tone: keyof typeof marks; size?: number }) {
  return (
    <svg class={`tone-icon tone-${tone}`} width={size} height={size} viewBox="0 0 24 24" aria-hidden="true">
      {marks[tone]}
    </svg>
  );
}

/** The same mark inside another drawing, with its centre at the origin and about 24 units wide. */
export function ToneMark({ tone }: { tone: Tone }) {
  return (
    <g class={`tone-${tone}`} transform="translate(-12 -12)">
      {marks[tone]}
    </g>
  );
}

const marks = {
  pass: (
    <>
      <circle class="mark-body" cx="12" cy="12" r="11" />
      <path class="mark-line" d="M6.5 12.6l3.6 3.7 7.4-8.2" />
    </>
  ),
  fail: (
    <>
      <rect class="mark-body" x="1.5" y="1.5" width="21" height="21" rx="2" />
      <path class="mark-line" d="M7 7l10 10M17 7L7 17" />
    </>
  ),
  unsure: (
    <>
      <path class="mark-body" d="M12 .6L23.4 12 12 23.4.6 12z" />
      <path class="mark-line" d="M9.2 9.6c0-1.8 1.3-2.8 2.9-2.8s2.8 1 2.8 2.5c0 2-2.8 2-2.8 4.2" />
      <circle class="mark-dot" cx="12.1" cy="16.8" r="1.35" />
    </>
  ),
  warning: (
    <>
      <path class="mark-body" d="M12 1.5L23.5 22H.5z" />
      <path class="mark-line" d="M12 9v6" />
      <circle class="mark-dot" cx="12" cy="18.4" r="1.4" />
    </>
  ),
  none: <circle class="mark-ring" cx="12" cy="12" r="8.5" />,
  stopped: (
    <>
      <path class="mark-body" d="M7.4 1h9.2L23 7.4v9.2L16.6 23H7.4L1 16.6V7.4z" />
      <path class="mark-line" d="M7 12h10" />
    </>
  ),
  "not-tested": (
    <>
      <circle class="mark-ring" cx="12" cy="12" r="10" />
      <path class="mark-stroke" d="M5 19L19 5" />
    </>
  ),
} as const;

/** An octagon, as every stop control has it. */
export function StopIcon() {
  return (
    <svg width="26" height="26" viewBox="0 0 24 24" aria-hidden="true">
      <path fill="currentColor" d="M7.4 1h9.2L23 7.4v9.2L16.6 23H7.4L1 16.6V7.4z" />
      <rect class="stop-core" x="7.5" y="7.5" width="9" height="9" />
    </svg>
  );
}

export function StartIcon() {
  return (
    <svg width="20" height="20" viewBox="0 0 24 24" aria-hidden="true">
      <path fill="currentColor" d="M5 2.5L21 12 5 21.5z" />
    </svg>
  );
}

/** A hand on a lever: who controls. */
export function HandIcon() {
  return (
    <svg class="hand-icon" width="20" height="20" viewBox="0 0 24 24" aria-hidden="true">
      <circle cx="12" cy="5" r="4" fill="currentColor" />
      <path fill="none" stroke="currentColor" stroke-width="3" d="M12 8v9M4 20h16" />
    </svg>
  );
}

/** A list of places to go to. */
export function PagesIcon() {
  return (
    <svg width="24" height="18" viewBox="0 0 24 18" aria-hidden="true">
      <path fill="none" stroke="currentColor" stroke-width="2.6" d="M8 3h16M8 9h16M8 15h16M1 3h3M1 9h3M1 15h3" />
    </svg>
  );
}

/** Three pins, the middle one lit. */
export function Mark() {
  return (
    <svg class="mark" width="44" height="16" viewBox="0 0 44 16" aria-hidden="true">
      <path class="mark-rail" d="M2 8h40" />
      <circle class="mark-pin" cx="6" cy="8" r="4" />
      <circle class="mark-lit" cx="22" cy="8" r="6.4" />
      <circle class="mark-pin" cx="38" cy="8" r="4" />
    </svg>
  );
}
