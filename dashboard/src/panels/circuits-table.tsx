import type { CircuitFinding, Findings } from "@pinwalk/host/diagnosis/findings.js";
import type { ExpectedPinView, PlanView, WalkView } from "@pinwalk/host/server/contract.js";
import { BandGauge } from "../drawing/band-gauge.js";
import { ToneIcon } from "../drawing/icons.js";
import { WireSwatch } from "../drawing/wire-swatch.js";
import { ampsText, bandText, voltsText } from "../words/amounts.js";
import { verdictWords } from "../words/verdict-words.js";
import { colourOf } from "./pin-colour.js";
import "./circuits-table.css";

interface CircuitsTableProps {
  readonly plan: PlanView;
  readonly walk: WalkView;
  readonly findings: Findings | null;
}

/** Each circuit: what was expected, what was measured, the verdict and the reason for it. */
export function CircuitsTable({ plan, walk, findings }: CircuitsTableProps) {
  return (
    <section class="sheet" aria-labelledby="circuits-title">
      <div class="sheet-head">
        <h2 id="circuits-title">Circuits</h2>
      </div>
      <table class="circuits">
        <thead>
          <tr>
            <th scope="col">Circuit</th>
            <th scope="col">Expected</th>
            <th scope="col">Measured</th>
            <th scope="col">Verdict</th>
            <th scope="col">Reason</th>
          </tr>
        </thead>
        <tbody>
          {plan.expected.map((row) => (
            <CircuitRow
              key={row.pin}
              expected={row}
              colour={colourOf(plan, row.pin)}
              walk={walk}
              finding={findings?.circuits.find((circuit) => circuit.pin === row.pin)}
            />
          ))}
        </tbody>
      </table>
    </section>
  );
}

interface CircuitRowProps {
  readonly expected: ExpectedPinView;
  readonly colour: string | null;
  readonly walk: WalkView;
  readonly finding: CircuitFinding | undefined;
}

function CircuitRow({ expected, colour, walk, finding }: CircuitRowProps) {
  const underTest = walk.state === "running" && walk.pin === expected.pin;
  const words = finding && verdictWords[finding.verdict];
  const progress = walk.pins[expected.pin];
  const amps = finding?.measured?.amps ?? progress?.amps ?? null;
  const volts = finding?.measured?.volts ?? progress?.volts;
  const band = finding?.expected ?? expected;
  const classes = ["circuit", `tone-${words?.tone ?? "none"}`];
  if (underTest) classes.push("circuit-lit");
  if (words?.tone === "fail") classes.push("circuit-wrong");
  return (
    <tr class={classes.join(" ")} data-pin={expected.pin}>
      <th scope="row" class="circuit-head">
        <div class="circuit-name">
          <b>{expected.pin}</b>
          <span>
            {expected.functionText}
            <WireSwatch colour={colour} />
          </span>
        </div>
      </th>
      <td data-head="Expected" class="circuit-expected">
        {bandText(band.low, band.high)}
      </td>
      <td data-head="Measured" class="circuit-measured">
        <strong>{amps === null ? "–" : ampsText(amps, band.high)}</strong>
        <BandGauge low={band.low} high={band.high} amps={amps} />
        {volts !== undefined && <small>{voltsText(volts)} at the pin</small>}
      </td>
      <td data-head="Verdict" class="circuit-verdict">
        {words ? (
          <>
            <ToneIcon tone={words.tone} size={26} />
            <strong>{words.word}</strong>
          </>
        ) : (
          <span>{underTest ? "Under test" : walk.state === "ended" ? "None" : "–"}</span>
        )}
      </td>
      <td data-head="Reason" class="circuit-reason">
        {finding?.reason ?? progress?.skipped ?? ""}
      </td>
    </tr>
  );
}
