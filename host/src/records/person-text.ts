import { z } from "zod";

/** Control characters, halves of surrogate pairs, and the marks that turn the direction of text (Unicode bidirectional controls). */
const unseen = /[\p{Control}\p{Surrogate}\u202a-\u202e\u2066-\u2069]/u;

/** One line that a person typed: no control characters, nothing that hides or turns text, not blank. */
export function lineOfText(most: number): z.ZodString {
  return z
    .string()
    .max(most)
    .refine((text) => text.trim() !== "", "must not be blank")
    .refine((text) => !unseen.test(text), "holds characters that cannot be seen");
}

/** Several lines that a person typed, with line feeds and tabs. */
export function linesOfText(most: number): z.ZodString {
  return z
    .string()
    .max(most)
    .refine((text) => !unseen.test(text.replace(/[\n\t]/g, "")), "holds characters that cannot be seen");
}
