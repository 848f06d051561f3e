/** A moment as a person of this browser's place and language reads it. */
export function momentText(iso: string): string {
  return new Date(iso).toLocaleString(undefined, { dateStyle: "medium", timeStyle: "short" });
}

export function dayText(iso: string): string {
  return new Date(iso).toLocaleDateString(undefined, { dateStyle: "medium" });
}

export function timeText(iso: string): string {
  return new Date(iso).toLocaleTimeString(undefined, { timeStyle: "medium" });
}
