import type { CommandName } from "@pinwalk/host/server/contract.js";
import type { GuideStep, GuideView } from "@pinwalk/host/server/guided-check/guide-contract.js";
import { busy } from "../../live/bench-jobs.js";
import { send } from "../../live/connection.js";
import { goToPart } from "../../live/go-to-part.js";
import { startWalk } from "../../live/start-walk.js";
import { backFeed, hindrances, link, round } from "../../live/workbench-store.js";
import { type View, view } from "../../view.js";
import { guideWords } from "../../words/guide-words.js";

interface Way {
  readonly page: View;
  /** The heading on that page. */
  readonly part?: string;
  readonly start?: { readonly command: CommandName; readonly word: string };
}

const ways: Readonly<Record<GuideStep, Way>> = {
  "check-list": { page: "walk", part: "checks-title" },
  rest: { page: "walk" },
  "low-current": { page: "walk" },
  drive: { page: "walk" },
  "back-feed": { page: "back-feed", start: { command: "back-feed:start", word: "Next: start the watch" } },
  "walk-round": { page: "walk-round", start: { command: "round:start", word: "Next: start the lights" } },
  verdict: { page: "walk" },
  "next-checks": { page: "walk", part: "next-checks-title" },
  keep: { page: "walk", part: "keep-title" },
};

const measured: readonly GuideStep[] = ["rest", "low-current", "drive"];

/** The one button that leads on, with the reason where it cannot. */
export function NextButton({ guide }: { guide: GuideView }) {
  const { next, steps } = guide;
  if (next === null) {
    const over = steps.every(({ state }) => state === "done" || state === "left-out");
    return over ? <p class="guide-over">This check is finished.</p> : null;
  }
  const row = steps.find(({ step }) => step === next);
  const way = ways[next];
  const here = view.value === way.page;
  const starts = here ? way.start : undefined;
  const words = guideWords[next];
  const measures = measured.includes(next);
  const hindrance = measures ? hindrances.value[0] : starts ? hindranceOf(next) : null;
  const go = () => {
    if (measures) startWalk();
    else if (starts) void send(starts.command, {});
    else goToPart(way.page, way.part);
  };
  return (
    <div class="guide-go">
      <button
        type="button"
        class="button button-solid guide-button"
        disabled={busy.value || link.value !== "connected" || (hindrance ?? null) !== null}
        onClick={go}
      >
        {starts?.word ?? (row?.state === "stopped" ? words.goOn : words.lead)}
      </button>
      {hindrance && <p class="sheet-note">{hindrance}</p>}
    </div>
  );
}

function hindranceOf(step: GuideStep): string | null {
  return (step === "back-feed" ? backFeed.value?.hindrance : round.value?.hindrance) ?? null;
}
