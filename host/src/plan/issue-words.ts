import type { z } from "zod";

const kinds: Readonly<Record<string, string>> = {
  number: "a number",
  int: "a whole number",
  string: "text",
  boolean: "yes or no",
  array: "a list",
  object: "an object",
};

/** The words for what is not there yet, and for a key that no plan has; whoever shows problems tells them from the others. */
export const missingWords = "is missing";
export const noneYetWords = "none yet";
export const strangeKeyWords = "unknown key ";

/** What a schema objects to, for people, where the schema itself has no words for it; undefined leaves zod's own. */
export function issueWords(issue: z.core.$ZodRawIssue): string | undefined {
  switch (issue.code) {
    case "invalid_type":
      if (issue.input === undefined || issue.input === null) return missingWords;
      return `has to be ${kinds[issue.expected] ?? issue.expected}`;
    case "too_small":
      return tooSmall(issue);
    case "too_big":
      return issue.origin === "string"
        ? `has at most ${issue.maximum} characters`
        : issue.origin === "array"
          ? `there are at most ${issue.maximum} of them`
          : `has to be ${issue.inclusive === false ? "less than" : "at most"} ${issue.maximum}`;
    case "invalid_value":
      if (issue.input === undefined || issue.input === null) return missingWords;
      return `has to be one of: ${issue.values.map(String).join(", ")}`;
    case "invalid_union":
      return issue.input === undefined || issue.input === null ? missingWords : discriminatorWords(issue.options);
    default:
      return undefined;
  }
}

function tooSmall(issue: Extract<z.core.$ZodRawIssue, { code: "too_small" }>): string {
  if (issue.origin === "string") return issue.input === "" ? missingWords : `has at least ${issue.minimum} characters`;
  if (issue.origin === "array")
    return Number(issue.minimum) === 1 ? noneYetWords : `at least ${issue.minimum} are needed`;
  return `has to be ${issue.inclusive === false ? "more than" : "at least"} ${issue.minimum}`;
}

/** Of objects told apart by one of their members, an object whose member names none of them. */
function discriminatorWords(options: unknown): string | undefined {
  return Array.isArray(options) ? `has to be one of: ${options.map(String).join(", ")}` : undefined;
}
