import type { Findings } from "@pinwalk/host/diagnosis/findings.js";
import type { WalkEnd } from "@pinwalk/host/server/contract.js";
import { ToneIcon } from "../drawing/icons.js";
import { testedThing } from "../live/workbench-store.js";
import type { Tone } from "../words/verdict-words.js";
import { overallWords, verdictWords } from "../words/verdict-words.js";
import "./verdict-banner.css";

interface VerdictBannerProps {
  readonly end: WalkEnd;
  readonly planName: string;
  readonly benchName: string;
}

/** How the walk ended, in one word that can be read across the shop and one sentence that says what follows. */
export function VerdictBanner({ end, planName, benchName }: VerdictBannerProps) {
  const { tone, word, sentence } = wordsOf(end);
  return (
    <section class={`verdict tone-${tone}`} role="status" aria-label="Verdict">
      <ToneIcon tone={tone} size={72} />
      <div>
        <h2 id="verdict-word" tabIndex={-1}>
          {word}
        </h2>
        <p class="verdict-sentence">{sentence}</p>
        <p class="verdict-what">
          {planName}, on {benchName}
        </p>
      </div>
    </section>
  );
}

interface BannerWords {
  readonly tone: Tone | "stopped" | "not-tested";
  readonly word: string;
  readonly sentence: string;
}

function wordsOf(end: WalkEnd): BannerWords {
  switch (end.kind) {
    case "judged":
      return { ...overallWords[end.findings.overall], sentence: judgedSentence(end.findings) };
    case "stopped":
      return { tone: "stopped", word: "Stopped", sentence: end.message };
    case "could-not-test":
      return { tone: "not-tested", word: "Could not test", sentence: end.message };
  }
}

function judgedSentence(findings: Findings): string {
  const thing = testedThing.value === "cable" ? "conductor" : "circuit";
  const wrong = findings.circuits.filter((circuit) => verdictWords[circuit.verdict].tone === "fail");
  const open = findings.circuits.filter((circuit) => circuit.verdict === "not-judged");
  if (wrong.length > 0) {
    const named = wrong.map((circuit) => `${circuit.pin} ${verdictWords[circuit.verdict].word.toLowerCase()}`);
    return `${wrong.length === 1 ? `One ${thing} needs` : `${wrong.length} ${thing}s need`} work: ${named.join(", ")}.`;
  }
  if (findings.overall === "fail") return `Something is wrong; see the ${thing}s below.`;
  if (open.length > 0)
    return `Nothing wrong was measured, but ${open.map((row) => row.pin).join(", ")} could not be judged.`;
  if (findings.overall === "unsure")
    return `Every ${thing} reads as planned, but readings alone do not settle everything: see Not judged.`;
  return `Every ${thing} reads as planned.`;
}
