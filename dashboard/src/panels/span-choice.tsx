import type { Signal } from "@preact/signals";
import "./span-choice.css";

const spans = [
  { ms: 10_000, word: "10 s" },
  { ms: 60_000, word: "1 min" },
  { ms: null, word: "All" },
] as const;

/** How much of a strip is in sight. */
export function SpanChoice({ name, spanMs }: { name: string; spanMs: Signal<number | null> }) {
  return (
    <fieldset class="span-choice">
      <legend class="said-only">How much of the strip is in sight</legend>
      {spans.map(({ ms, word }) => (
        <label key={word}>
          <input type="radio" name={name} checked={spanMs.value === ms} onChange={() => (spanMs.value = ms)} />
          <span>{word}</span>
        </label>
      ))}
    </fieldset>
  );
}
