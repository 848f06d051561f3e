import type { CableCell } from "@pinwalk/host/server/cable-batch/cable-contract.js";

/** What a cell of the cable's matrix says, by outline: filled disc, empty disc struck through, triangle, dot, question. */
export function CellMark({ kind }: { kind: CableCell["kind"] }) {
  return (
    <svg class={`cell-mark cell-mark-${kind}`} width="20" height="20" viewBox="0 0 24 24" aria-hidden="true">
      {marks[kind]}
    </svg>
  );
}

const marks = {
  through: (
    <>
      <circle class="mark-body" cx="12" cy="12" r="11" />
      <path class="mark-line" d="M6.5 12.6l3.6 3.7 7.4-8.2" />
    </>
  ),
  missing: (
    <>
      <circle class="mark-ring" cx="12" cy="12" r="10" />
      <path class="mark-stroke" d="M5 19L19 5" />
    </>
  ),
  stray: (
    <>
      <path class="mark-body" d="M12 1.5L23.5 22H.5z" />
      <path class="mark-line" d="M12 9v6" />
      <circle class="mark-dot" cx="12" cy="18.4" r="1.4" />
    </>
  ),
  apart: <circle class="cell-apart" cx="12" cy="12" r="2.5" />,
  unknown: <path class="mark-stroke" d="M6 12h12" />,
} as const;
