import { type Fault, faultProblem, parseFault } from "../plan/fault.js";
import type { PartsLibrary } from "../plan/parts/parts-library.js";
import type { Plan } from "../plan/plan-schema.js";
import { wrongUse } from "./command-failure.js";

/** Commander's collector for an option that may be given again. */
export function collect(text: string, earlier: readonly string[]): readonly string[] {
  return [...earlier, text];
}

/** Reads `--fault KIND@PLACE[=OHMS]` options. Throws a wrong-use failure that names what the plan has instead. */
export function readFaults(texts: readonly string[], plan: Plan, library?: PartsLibrary): readonly Fault[] {
  return texts.map((text) => {
    const read = parseFault(text);
    if (!read.ok) throw wrongUse(`--fault ${read.message}.`);
    const problem = faultProblem(read.fault, plan, library);
    if (problem !== undefined) throw wrongUse(`--fault "${text}": ${problem}.`);
    return read.fault;
  });
}
