/** A bulb, with rays when it is lit. */
export function BulbIcon({ lit }: { lit: boolean }) {
  return (
    <svg width="22" height="22" viewBox="0 0 24 24" aria-hidden="true">
      <circle cx="12" cy="12" r={lit ? 5 : 7} />
      {lit && (
        <path d="M12 1v3.5M12 19.5V23M1 12h3.5M19.5 12H23M4.2 4.2l2.5 2.5M17.3 17.3l2.5 2.5M4.2 19.8l2.5-2.5M17.3 6.7l2.5-2.5" />
      )}
    </svg>
  );
}
