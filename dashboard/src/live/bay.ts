import type { BaysView } from "@pinwalk/host/server/bays/bays-contract.js";
import { signal } from "@preact/signals";

/** Which bay this page shows: `/bay/2/#walk` the second, an address without it the first. */
export const bayNumber = Number(/^\/bay\/([1-9])\//.exec(location.pathname)?.[1] ?? 1);

/** Before the address of whatever belongs to one bay. */
export const bayBase = bayNumber === 1 ? "" : `/bay/${bayNumber}`;

/** The bays there are; null until the server has told. */
export const bays = signal<BaysView | null>(null);

/** Where another bay is shown. */
export const bayHref = (number: number, page: string): string => `${number === 1 ? "/" : `/bay/${number}/`}#${page}`;
