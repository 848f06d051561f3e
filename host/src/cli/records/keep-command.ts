import { readFile, stat } from "node:fs/promises";
import { type Command, Option } from "commander";
import { diagnose } from "../../diagnosis/diagnose.js";
import { type Findings, findingsSchema } from "../../diagnosis/findings.js";
import { photoBounds } from "../../records/photos/photo.js";
import type { Job, RecordDraft } from "../../records/record-schema.js";
import { wrongUse } from "../command-failure.js";
import { exitCodes } from "../exit-code.js";
import { readJsonFile } from "../json-file.js";
import { readPlanFile } from "../plan-file.js";
import { readReadingsFile } from "../readings-file.js";
import type { Terminal } from "../terminal.js";
import { type StoreOption, storeCommand, withStore } from "./store-access.js";

interface Options extends StoreOption {
  readonly person: string;
  readonly vehicle?: string;
  readonly cable?: string;
  readonly description?: string;
  readonly customer?: string;
  readonly shop?: string;
  readonly batch?: string;
  readonly findings?: string;
  readonly answer: readonly string[];
  readonly note?: string;
  readonly photo: readonly string[];
  readonly corrects?: string;
  readonly because?: string;
  readonly json?: boolean;
}

const again = (value: string, before: readonly string[]): readonly string[] => [...before, value];

async function readFindings(path: string): Promise<Findings> {
  const parsed = findingsSchema.safeParse(await readJsonFile(path, "findings file"));
  if (parsed.success) return parsed.data;
  throw wrongUse(
    `${path}: these are no findings: ${parsed.error.issues[0]?.path.join(".")}: ${parsed.error.issues[0]?.message}`,
  );
}

async function readPhoto(path: string): Promise<{ data: Uint8Array }> {
  try {
    const { size } = await stat(path);
    if (size > photoBounds.mostBytes)
      throw wrongUse(`${path}: a photo has at most ${photoBounds.mostBytes} bytes; this has ${size}.`);
    return { data: await readFile(path) };
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === undefined) throw error;
    throw wrongUse(`${path}: cannot read the photo: ${(error as Error).message}`);
  }
}

function subjectOf({ vehicle, cable, description }: Options): Job["subject"] {
  if ((vehicle === undefined) === (cable === undefined))
    throw wrongUse("Say what was tested: --vehicle NUMBER or --cable NUMBER, one of the two.");
  const serial = vehicle ?? cable ?? "";
  return {
    kind: vehicle === undefined ? "cable" : "vehicle",
    serial,
    ...(description === undefined ? {} : { description }),
  };
}

function answersOf(pairs: readonly string[]): Job["answers"] {
  return pairs.map((pair) => {
    const at = pair.indexOf("=");
    if (at < 1) throw wrongUse(`--answer ${pair}: give QUESTION=ANSWER.`);
    return { question: pair.slice(0, at).trim(), answer: pair.slice(at + 1).trim() };
  });
}

async function draftOf(
  planPath: string,
  readingsPath: string,
  options: Options,
  corrects: Job["corrects"],
): Promise<RecordDraft> {
  const plan = await readPlanFile(planPath);
  const readings = await readReadingsFile(readingsPath, plan);
  const findings = options.findings === undefined ? diagnose(plan, readings) : await readFindings(options.findings);
  const { person, customer, shop, batch, note } = options;
  const photos = await Promise.all(options.photo.map(readPhoto));
  const job: Job = {
    person,
    subject: subjectOf(options),
    plan,
    readings,
    findings,
    answers: answersOf(options.answer),
    ...(customer === undefined ? {} : { customer }),
    ...(shop === undefined ? {} : { shop }),
    ...(batch === undefined ? {} : { batch }),
    ...(note === undefined ? {} : { notes: note }),
    ...(corrects === undefined ? {} : { corrects }),
  };
  return { job, photos };
}

/** `pinwalk records keep`: make a finished job a record. */
export function keepCommand(terminal: Terminal): Command {
  return storeCommand("keep")
    .description(
      "Keep a finished job: plan, readings and what they mean, signed and chained so that no one changes it unnoticed.",
    )
    .argument("<plan>", "plan file (JSON)")
    .argument("<readings>", "readings file (JSON), as `pinwalk walk --readings` writes it")
    .requiredOption("--person <name>", "who did the work")
    .option("--vehicle <number>", "the vehicle that was tested: licence plate or VIN")
    .option("--cable <number>", "the cable that was tested: its serial number")
    .option("--description <text>", "what the vehicle or cable is")
    .option("--customer <name>", "whose it is")
    .addOption(new Option("--shop <name>", "the shop's name on the certificate").env("PINWALK_SHOP"))
    .option("--batch <name>", "the batch to which a cable belongs")
    .option("--findings <file>", "findings of the day; without it plan and readings are judged now")
    .option("--answer <question=answer>", "what was asked and answered (again for more)", again, [])
    .option("--note <text>", "notes")
    .option("--photo <file>", "a JPEG, PNG or WebP picture (again for more)", again, [])
    .option("--corrects <record>", "the older record that this one puts right")
    .option("--because <why>", "why it had to be put right")
    .option("--json", "print the record with its hash and signature")
    .addHelpText(
      "after",
      "\nExample:\n  pinwalk records keep plan.json readings.json --person 'R. Calder' --vehicle KX-4471-QB --customer 'A. Miller'",
    )
    .action(async (planPath: string, readingsPath: string, options: Options) => {
      if ((options.corrects === undefined) !== (options.because === undefined))
        throw wrongUse("--corrects and --because go together: a correction says why.");
      // Everything is read and checked before the store is touched.
      const checked = await draftOf(planPath, readingsPath, options, undefined);
      const kept = await withStore("write", options, async (store) => {
        const { corrects, because = "" } = options;
        if (corrects === undefined) return store.keep(checked);
        const old = await store.record(corrects);
        return store.keep({ ...checked, job: { ...checked.job, corrects: { hash: old.hash, why: because } } });
      });
      terminal.exitWith(exitCodes.pass);
      const { record, hash, signature, remark } = kept;
      if (options.json) terminal.out(JSON.stringify({ record, hash, signature }, null, 2));
      else terminal.out(`Kept as record #${record.number}, verdict ${record.findings.overall}.\nHash ${hash}`);
      if (remark) terminal.err(remark);
    });
}
