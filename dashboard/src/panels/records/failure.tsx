import { ToneIcon } from "../../drawing/icons.js";

/** What the record store would not do, in its own words. */
export function Failure({ message }: { message: string | null }) {
  if (message === null) return null;
  return (
    <div class="refusal" role="alert">
      <ToneIcon tone="fail" />
      <strong>{message}</strong>
    </div>
  );
}
