import { useRef } from "preact/hooks";
import { busy } from "../live/bench-jobs.js";
import { send } from "../live/connection.js";
import { noteAnswer } from "../live/workbench-store.js";

const mostBytes = 200_000;

/** Opens a plan file from this computer or phone; the server checks it and says what is wrong with it. */
export function PlanUpload() {
  const field = useRef<HTMLInputElement>(null);
  const open = async (file: File) => {
    if (file.size > mostBytes) {
      const message = `${file.name} is larger than any plan (${Math.round(file.size / 1000)} kB). Choose a plan file.`;
      noteAnswer("plan:upload", { ok: false, code: "too-large", message });
      return;
    }
    await send("plan:upload", { fileName: file.name.slice(0, 120), text: await file.text() });
  };
  return (
    <>
      <input
        ref={field}
        class="said-only"
        type="file"
        accept=".json,application/json"
        tabIndex={-1}
        aria-label="Plan file"
        onChange={(event) => {
          const chosen = event.currentTarget.files?.[0];
          event.currentTarget.value = "";
          if (chosen) void open(chosen);
        }}
      />
      <button type="button" class="button" disabled={busy.value} onClick={() => field.current?.click()}>
        Open a plan file
      </button>
    </>
  );
}
