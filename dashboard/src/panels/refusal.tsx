import type { CommandName } from "@pinwalk/host/server/contract.js";
import { ToneIcon } from "../drawing/icons.js";
import { refusals } from "../live/workbench-store.js";
import { ProblemList } from "./problem-list.js";

/** What the server would not do, shown beside the control that asked for it. */
export function Refusal({ of }: { of: readonly CommandName[] }) {
  const found = of.map((name) => refusals.value[name]).find((refused) => refused !== undefined);
  if (!found) return null;
  return (
    <div class="refusal" role="alert">
      <ToneIcon tone="fail" />
      <strong>{found.message}</strong>
      {found.problems && <ProblemList problems={found.problems} />}
    </div>
  );
}
