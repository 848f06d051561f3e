/** What `pinwalk --help` says of the record commands, without loading the store's libraries. */
export const recordsSummary =
  "Keep finished jobs, find them again, show that nobody changed them, compare them over time.";
