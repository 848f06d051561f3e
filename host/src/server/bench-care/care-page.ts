import { createHash } from "node:crypto";
import type { CalibrationDocument } from "../../procedures/calibration/calibration-document.js";
import { markupText as t } from "../../records/report/html-text.js";
import { pageStyle } from "../../records/report/printable-page-style.js";
import type { AnyCareDocument } from "./care-documents.js";
import type { SelfTestDocument } from "./self-test-document.js";
import { uncertaintyWords } from "./uncertainty-words.js";

/** The printable page brings its one style sheet along and may do nothing else. */
export const carePagePolicy = [
  "default-src 'none'",
  `style-src 'sha256-${createHash("sha256").update(pageStyle).digest("base64")}'`,
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
  "sandbox allow-modals",
].join("; ");

/** A calibration or a self-test as one HTML page that needs nothing else, for printing. */
export function carePage(document: AnyCareDocument): string {
  const { title, body } =
    document.format === "pinwalk-calibration/1" ? calibrationBody(document) : selfTestBody(document);
  return `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width,initial-scale=1">
<title>${t(title)}</title><style>${pageStyle}</style></head><body><main><header><h1>${t(title)}</h1></header>
${body}</main></body></html>
`;
}

function facts(rows: readonly (readonly [string, string])[]): string {
  return `<dl>${rows.map(([label, value]) => `<dt>${t(label)}</dt><dd>${t(value)}</dd>`).join("")}</dl>`;
}

const serialWords = (serial: string): string => (serial === "-" ? "none" : serial);
const verdicts = {
  pass: ["good", "✓ Pass"],
  fail: ["bad", "✗ Fail"],
  unsure: ["open", "– Unsure"],
  "not-tested": ["open", "– Not tested"],
} as const;

function selfTestBody({ bench, testedAt, overall, items }: SelfTestDocument): { title: string; body: string } {
  const rows = items.map(({ verdict, words, lookAt }) => {
    const [state, word] = verdicts[verdict];
    const more = lookAt === undefined ? "" : `<br>Look at: ${t(lookAt)}`;
    return `<tr><td class="${state}">${word}</td><td>${t(words)}${more}</td></tr>`;
  });
  return {
    title: "Self-test of a bench",
    body: `<div class="verdict ${overall}"><strong>${verdicts[overall][1]}</strong></div>${facts([
      ["Bench", bench.name],
      ["Serial number", serialWords(bench.serial)],
      ["Firmware", bench.firmware],
      ["Tested", testedAt],
    ])}<section><h2>Items</h2><table><thead><tr><th>Result</th><th>What was found</th></tr></thead><tbody>${rows.join("")}</tbody></table></section>`,
  };
}

function calibrationBody(document: CalibrationDocument): { title: string; body: string } {
  const { bench, calibratedAt, dueAt, revision, meter, resistors, constants, residuals, uncertainty } = document;
  const milli = (value: number, unit: string) => `${(value * 1000).toFixed(1)} m${unit}`;
  const row = (name: string, { gain, offset }: { gain: number; offset: number }, unit: string) =>
    `<tr><th scope="row">${t(name)}</th><td class="n">${gain.toFixed(5)}</td><td class="n">${milli(offset, unit)}</td></tr>`;
  const inputs = [
    row("Current", constants.current, "A"),
    row("Supply", constants.supply, "V"),
    ...constants.near.map((one, channel) => row(`Near channel ${channel}`, one, "V")),
    ...constants.far.map((one, channel) => row(`Far channel ${channel}`, one, "V")),
  ];
  const { volts, ohms } = constants.lowSource;
  return {
    title: "Calibration of a bench",
    body: `${facts([
      ["Serial number", serialWords(bench.serial)],
      ["Firmware", bench.firmware],
      ["Calibrated", calibratedAt],
      ["Due again", dueAt],
      ["Revision", String(revision)],
      ["Uncertainty", uncertaintyWords(uncertainty)],
      ["Meter (k = 1)", `${(meter.relative * 100).toFixed(3)} % and ${milli(meter.offset, "V")}`],
      ["Resistors (k = 1)", resistors.map(({ value, u }) => `${value} ± ${u.toPrecision(2)} Ω`).join(", ")],
      ["Low-current source", `${volts.value.toFixed(3)} V behind ${ohms.value.toFixed(0)} Ω`],
      [
        "Farthest from its line",
        `pins ${milli(residuals.pinVolts, "V")}, supply ${milli(residuals.supplyVolts, "V")}, current ${milli(residuals.amps, "A")}`,
      ],
    ])}<section><h2>Constants</h2><p>True value = gain × (design reading − offset).</p><table><thead><tr><th>Input</th><th class="n">Gain</th><th class="n">Offset</th></tr></thead><tbody>${inputs.join("")}</tbody></table></section>`,
  };
}
