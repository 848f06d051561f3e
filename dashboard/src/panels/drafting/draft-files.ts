import type { Plan } from "@pinwalk/host/plan/plan-schema.js";
import type { Draft } from "./draft-paths.js";
import { textAt } from "./draft-paths.js";

/** A file that does not say its format is taken for the one that there is. */
const format: Plan["format"] = "pinwalk-plan/1";
const mostBytes = 200_000;

/** Hands a plan to the browser as a file. */
export function exportDraft(draft: Draft): void {
  const url = URL.createObjectURL(new Blob([`${JSON.stringify(draft, null, 2)}\n`], { type: "application/json" }));
  const way = document.createElement("a");
  way.href = url;
  way.download = `${slug(textAt(draft, ["name"]))}.json`;
  way.click();
  // The browser has taken the file by then.
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
}

function slug(name: string): string {
  const plain = name.toLowerCase().replaceAll(/[^a-z0-9]+/g, "-");
  return plain.replaceAll(/^-|-$/g, "").slice(0, 60) || "plan";
}

export type ImportedDraft =
  | { readonly ok: true; readonly draft: Draft }
  | { readonly ok: false; readonly message: string };

/** A file as a draft. What is wrong inside it is shown beside its fields; here only what is no plan at all is refused. */
export async function importDraft(file: File): Promise<ImportedDraft> {
  const refuse = (message: string) => ({ ok: false, message }) as const;
  if (file.size > mostBytes)
    return refuse(`${file.name} is larger than any plan (${Math.round(file.size / 1000)} kB).`);
  let read: unknown;
  try {
    read = JSON.parse(await file.text());
  } catch {
    return refuse(`${file.name} is not JSON, so it is no plan.`);
  }
  const kind = typeof read === "object" && read !== null && "kind" in read ? read.kind : undefined;
  if (kind !== "install" && kind !== "cable")
    return refuse(`${file.name} is no plan: it does not say whether it is about a vehicle or a cable.`);
  return { ok: true, draft: { format, ...(read as Draft) } };
}
