import { RecordsError } from "../records-error.js";

/** How much of a foreign JSON text is looked at: UTF-16 units of text, levels of nesting. */
export interface JsonBounds {
  readonly mostLength: number;
  readonly mostDepth: number;
}

function depthOf(text: string): number {
  let depth = 0;
  let deepest = 0;
  let inString = false;
  for (let index = 0; index < text.length; index++) {
    const unit = text.charCodeAt(index);
    if (inString) {
      if (unit === 0x5c) index++;
      else if (unit === 0x22) inString = false;
    } else if (unit === 0x22) inString = true;
    else if (unit === 0x7b || unit === 0x5b) deepest = Math.max(deepest, ++depth);
    else if (unit === 0x7d || unit === 0x5d) depth--;
  }
  return deepest;
}

function refusePrototypeKeys(value: unknown): void {
  if (typeof value !== "object" || value === null) return;
  if (!Array.isArray(value) && Object.hasOwn(value, "__proto__"))
    throw new RecordsError("not-readable", "a member is named __proto__, which no document of Pinwalk has");
  for (const member of Object.values(value)) refusePrototypeKeys(member);
}

/**
 * Parses JSON from outside within bounds that are checked before anything is built, and refuses member names that
 * could reach an object's prototype. Throws `not-readable`.
 */
export function parseBoundedJson(text: string, bounds: JsonBounds): unknown {
  if (text.length > bounds.mostLength)
    throw new RecordsError("not-readable", `it has ${text.length} characters; at most ${bounds.mostLength} are read`);
  const depth = depthOf(text);
  if (depth > bounds.mostDepth)
    throw new RecordsError("not-readable", `it is nested ${depth} levels deep; at most ${bounds.mostDepth} are read`);
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch (error) {
    throw new RecordsError("not-readable", "this is not JSON", { cause: error });
  }
  refusePrototypeKeys(value);
  return value;
}
