/** A draft is JSON of any form; whatever is read out of it is looked at before it is believed. */
export type Json = null | boolean | number | string | readonly Json[] | { readonly [key: string]: Json };
export type Draft = { readonly [key: string]: Json };
export type Path = readonly (string | number)[];

/** `["circuits", 0, "wire"]` → `circuits[0].wire`, as the host names places. */
export function pathText(path: Path): string {
  return path.map((step, at) => (typeof step === "number" ? `[${step}]` : `${at === 0 ? "" : "."}${step}`)).join("");
}

/** `circuits[0].wire` → `["circuits", 0, "wire"]`. */
export function pathOfText(text: string): Path {
  return [...text.matchAll(/\[(\d+)\]|([^.[\]]+)/g)].map(([, index, key]) =>
    index === undefined ? (key ?? "") : Number(index),
  );
}

export function isObject(value: Json | undefined): value is Draft {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

export function valueAt(root: Json | undefined, path: Path): Json | undefined {
  let place: Json | undefined = root;
  for (const step of path) {
    if (Array.isArray(place)) place = (place as readonly Json[])[Number(step)];
    else if (isObject(place)) place = Object.hasOwn(place, step) ? place[step] : undefined;
    else return undefined;
  }
  return place;
}

export function listAt(root: Json | undefined, path: Path): readonly Json[] {
  const list = valueAt(root, path);
  return Array.isArray(list) ? (list as readonly Json[]) : [];
}

export function textAt(root: Json | undefined, path: Path): string {
  const value = valueAt(root, path);
  return typeof value === "string" ? value : typeof value === "number" ? String(value) : "";
}

/** A copy with another value at one place; undefined takes the key, or the entry of a list, out. */
export function withValue(root: Json | undefined, path: Path, value: Json | undefined): Json {
  const [step, ...rest] = path;
  if (step === undefined) return value ?? null;
  if (typeof step === "number") {
    const list = Array.isArray(root) ? [...(root as readonly Json[])] : [];
    if (rest.length === 0 && value === undefined) list.splice(step, 1);
    else list[step] = withValue(list[step], rest, value);
    return list;
  }
  const object = isObject(root) ? root : {};
  if (rest.length > 0 || value !== undefined) return { ...object, [step]: withValue(object[step], rest, value) };
  const { [step]: _out, ...others } = object;
  return others;
}
