import { type Command, InvalidArgumentError, Option } from "commander";
import type { RecordQuery } from "../../records/store/search-records.js";
import { wholeNumberOption } from "../number-option.js";

/** What `list` and `export` can be narrowed to. */
export interface SearchOptions {
  readonly text?: string;
  readonly customer?: string;
  readonly subject?: string;
  readonly serial?: string;
  readonly plan?: string;
  readonly batch?: string;
  readonly verdict?: "pass" | "fail" | "unsure";
  readonly since?: string;
  readonly until?: string;
  readonly foreign?: boolean;
}

/** A day or a moment as UTC; a day begins where this computer stands. */
function momentOption(text: string): string {
  const isDay = /^\d{4}-\d{2}-\d{2}$/.test(text);
  const date = new Date(isDay ? `${text}T00:00:00` : text);
  if (!/^\d{4}-/.test(text) || Number.isNaN(date.getTime()))
    throw new InvalidArgumentError("Give a day such as 2026-11-25, or a moment such as 2026-11-25T16:04+01:00.");
  return date.toISOString();
}

/** Adds the options of a search. */
export function addSearchOptions(command: Command): Command {
  return command
    .option("--text <words>", "anywhere: customer, serial number, plan, person, batch, notes")
    .option("--customer <words>", "in the customer's name")
    .option("--subject <words>", "in serial number or description of the vehicle or cable")
    .option("--serial <number>", "exactly this serial number, whatever its blanks and hyphens")
    .option("--plan <words>", "in the plan's name")
    .option("--batch <name>", "exactly this batch")
    .addOption(new Option("--verdict <verdict>", "with this verdict").choices(["pass", "fail", "unsure"]))
    .option("--since <day>", "tested on this day or later", momentOption)
    .option("--until <day>", "tested before this day", momentOption)
    .option("--foreign", "records of other shops alone");
}

export const limitOption = wholeNumberOption("records", 1, 1000);

export function queryOf(options: SearchOptions): RecordQuery {
  const { text, customer, subject, serial, plan, batch, verdict, since, until, foreign } = options;
  return {
    ...(text === undefined ? {} : { text }),
    ...(customer === undefined ? {} : { customer }),
    ...(subject === undefined ? {} : { subject }),
    ...(serial === undefined ? {} : { serial }),
    ...(plan === undefined ? {} : { plan }),
    ...(batch === undefined ? {} : { batch }),
    ...(verdict === undefined ? {} : { verdict }),
    ...(since === undefined ? {} : { since }),
    ...(until === undefined ? {} : { until }),
    ...(foreign ? { own: false } : {}),
  };
}
