import type { CircuitFinding } from "../../diagnosis/findings.js";
import { signerName } from "../chain/record-signature.js";
import type { PinwalkRecord, RecordPhoto } from "../record-schema.js";
import type { SavedRecord } from "../store/saved-record.js";
import { cautions, leftOpen, whatWasTested } from "./certificate-words.js";
import { functionName, overallWords, verdictWords } from "./circuit-words.js";
import { timeInZone } from "./record-time.js";

/** One circuit's line: figures as text with their units, so that every form of the certificate shows the same. */
export interface CertificateRow {
  readonly pin: string;
  readonly circuit: string;
  readonly expected: string;
  readonly measured: string;
  readonly volts: string;
  readonly result: string;
  readonly state: "good" | "bad" | "open";
}

/** A record as a customer reads it. Every form (PDF, printable page, browser) shows this and nothing else. */
export interface CertificateView {
  readonly title: string;
  readonly shop: string | null;
  readonly verdict: { readonly overall: "pass" | "fail" | "unsure"; readonly word: string; readonly sentence: string };
  /** Set if a later record of the shop puts this one right. */
  readonly superseded: string | null;
  readonly corrects: string | null;
  readonly facts: readonly { readonly label: string; readonly value: string }[];
  readonly tested: readonly string[];
  readonly rows: readonly CertificateRow[];
  readonly voltsTitle: string;
  readonly reasons: readonly string[];
  readonly open: readonly string[];
  readonly answers: readonly { readonly question: string; readonly answer: string }[];
  readonly notes: string | null;
  readonly photos: readonly RecordPhoto[];
  readonly cautions: readonly string[];
  readonly proof: {
    readonly hash: string;
    readonly number: number;
    readonly signer: string;
    readonly signerName: string;
    readonly explanation: string;
  };
}

const amps = (value: number): string => value.toFixed(2);

function measuredText({ measured }: CircuitFinding): string {
  if (measured?.amps === undefined) return "–";
  const uncertainty = measured.uncertainty === undefined ? "" : ` ± ${Math.max(0.01, measured.uncertainty).toFixed(2)}`;
  return `${amps(measured.amps)}${uncertainty}`;
}

function voltsText(record: PinwalkRecord, finding: CircuitFinding): string {
  if (record.plan.kind === "cable") {
    const far = record.plan.conductors.find((conductor) => conductor.near === finding.pin)?.far;
    const drive = record.readings.drives?.find((one) => one.pin === finding.pin);
    const volts = far === undefined ? undefined : drive?.farVolts?.[far];
    return volts === undefined ? "–" : volts.toFixed(2);
  }
  return finding.measured?.volts === undefined ? "–" : finding.measured.volts.toFixed(2);
}

function rowOf(record: PinwalkRecord, finding: CircuitFinding): CertificateRow {
  const { pin, expected, verdict } = finding;
  return {
    pin,
    circuit: functionName(finding.function),
    expected: expected ? `${amps(expected.low)} to ${amps(expected.high)}` : "–",
    measured: measuredText(finding),
    volts: voltsText(record, finding),
    result: verdictWords[verdict],
    state: verdict === "pass" ? "good" : verdict === "not-judged" ? "open" : "bad",
  };
}

function factsOf(record: PinwalkRecord): CertificateView["facts"] {
  const { subject, readings, plan } = record;
  const { tester } = readings;
  const kind = subject.kind === "vehicle" ? "Vehicle" : "Cable";
  const facts: [string, string | undefined][] = [
    [`${kind} number`, subject.serial],
    [kind, subject.description],
    ["Customer", record.customer],
    ["Tested", timeInZone(readings.takenAt, record.zone)],
    ["Tested by", record.person],
    ["Plan", `${plan.name} (${plan.nominalVolts} V)`],
    ["Batch", record.batch],
    ["Bench", `${tester.id}, firmware ${tester.firmware}`],
    ["Calibrated", tester.calibratedAt ?? "never: figures carry the larger design uncertainty"],
  ];
  return facts.flatMap(([label, value]) => (value === undefined ? [] : [{ label, value }]));
}

/** Puts a record into a customer's words. */
export function certificateView(
  saved: Pick<SavedRecord, "record" | "hash"> & { readonly correctedBy?: string | null },
): CertificateView {
  const { record, hash } = saved;
  const { findings } = record;
  const remarkable = findings.circuits.filter(({ verdict }) => verdict !== "pass");
  return {
    title: record.subject.kind === "cable" ? "Test certificate of a cable" : "Test certificate of the lighting wiring",
    shop: record.shop ?? null,
    verdict: { overall: findings.overall, ...overallWords[findings.overall] },
    superseded: saved.correctedBy
      ? `This record was put right by a later one (hash ${saved.correctedBy.slice(0, 16)}…). Ask for that certificate.`
      : null,
    corrects: record.corrects
      ? `Puts right record ${record.corrects.hash.slice(0, 16)}…: ${record.corrects.why}`
      : null,
    facts: factsOf(record),
    tested: whatWasTested(record),
    rows: findings.circuits.map((finding) => rowOf(record, finding)),
    voltsTitle: record.plan.kind === "cable" ? "Far end, V" : "At pin, V",
    reasons: remarkable.map(({ pin, function: name, reason }) => `${pin}, ${functionName(name)}: ${reason}`),
    open: leftOpen(record),
    answers: record.answers.map(({ question, answer }) => ({ question, answer })),
    notes: record.notes ?? null,
    photos: record.photos,
    cautions,
    proof: {
      hash,
      number: record.number,
      signer: record.signer,
      signerName: signerName(record.signer),
      explanation:
        "The square code on this sheet holds the fingerprint (SHA-256) of this record. If anything in the record is changed later, its fingerprint is " +
        "another one: who keeps this sheet can show that the record is still the one of the day. The shop checks it with " +
        `"pinwalk records verify --has ${hash.slice(0, 12)}".`,
    },
  };
}
