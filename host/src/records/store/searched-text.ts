import type { PinwalkRecord } from "../record-schema.js";
import { foldedText, serialKey } from "./folded-text.js";

/** The parts of a record's searched text, in their order. */
export type SearchedPart = "customer" | "subject" | "plan" | "other";

/** Each part begins with a mark that no folded text holds; one text with marks is searched faster than four. */
const marks: Readonly<Record<SearchedPart, string>> = {
  customer: "\u0001",
  subject: "\u0002",
  plan: "\u0003",
  other: "\u0004",
};

const follower: Readonly<Record<SearchedPart, string>> = {
  customer: marks.subject,
  subject: marks.plan,
  plan: marks.other,
  other: "",
};

/** Long notes are searched in their beginning alone. */
const mostNotes = 2000;

/** The text in which a record is found. A serial number stands as written and without its blanks and hyphens. */
export function searchedText(record: PinwalkRecord): string {
  const { serial, description } = record.subject;
  const parts: Readonly<Record<SearchedPart, string>> = {
    customer: foldedText(record.customer ?? ""),
    subject: `${foldedText(serial)} ${serialKey(serial)} ${foldedText(description ?? "")}`.trim(),
    plan: foldedText(record.plan.name),
    // By letters: half of a surrogate pair would not come back from the database as it went in.
    other: [...foldedText(`${record.person} ${record.batch ?? ""} ${record.notes ?? ""}`)].slice(0, mostNotes).join(""),
  };
  return (Object.keys(marks) as SearchedPart[]).map((part) => marks[part] + parts[part]).join("");
}

/**
 * A pattern for SQL's LIKE, with the backslash as its escape, that finds a folded word in one part or anywhere.
 */
export function searchPattern(word: string, part?: SearchedPart): string {
  const literal = word.replace(/[\\%_]/g, (sign) => `\\${sign}`);
  if (part === undefined) return `%${literal}%`;
  const before = part === "customer" ? marks.customer : `%${marks[part]}`;
  const after = follower[part] === "" ? "" : `${follower[part]}%`;
  return `${before}%${literal}%${after}`;
}
