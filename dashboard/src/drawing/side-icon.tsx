import type { Side } from "./connector-face.js";

/** Mating side: the holes of a face. Wiring side: wires that go into a back. */
export function SideIcon({ side }: { side: Side }) {
  return (
    <svg class="side-icon" width="36" height="36" viewBox="0 0 36 36" aria-hidden="true">
      {side === "mating" ? (
        <>
          <circle cx="18" cy="18" r="15" />
          <circle class="side-hole" cx="18" cy="10" r="3" />
          <circle class="side-hole" cx="11" cy="22" r="3" />
          <circle class="side-hole" cx="25" cy="22" r="3" />
        </>
      ) : (
        <>
          <path d="M20 4v28M20 7h6q6 0 6 6v10q0 6-6 6h-6" />
          <path d="M3 11h17M3 18h17M3 25h17" />
        </>
      )}
    </svg>
  );
}
