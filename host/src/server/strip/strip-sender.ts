import type { StripBook } from "./strip-book.js";
import type { StripBatch } from "./strip-contract.js";

/** Strips go out this often, about as the bench sends its blocks; a browser draws at most once per frame anyway. */
const batchMs = 30;

/** Sends what a book has gathered, again and again until it is stopped, and then once more. */
export function sendStrips(book: StripBook, onStrip: (batch: StripBatch) => void): () => void {
  const send = () => {
    const batch = book.takeUnsent();
    if (batch) onStrip(batch);
  };
  const timer = setInterval(send, batchMs);
  return () => {
    clearInterval(timer);
    send();
  };
}
