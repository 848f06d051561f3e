import type { Findings } from "@pinwalk/host/diagnosis/findings.js";
import type { Page } from "playwright-core";
import { expect, test } from "vitest";
import { machineWithPorts } from "../server/bench-on-a-port.js";
import { serveForTest } from "../server/serve-for-test.js";
import { describePage, openPage } from "./browser-for-test.js";
import { accessibilityProblems, choosePlan, hatchback, sidewaysOverflow, textOf, walkToVerdict } from "./page-steps.js";

type Accounts = Pick<Findings, "explanations" | "groups" | "nextChecks">;

const told: Accounts = {
  explanations: [
    {
      faults: [{ kind: "open", at: "lamp:left-rear.bright" }],
      probability: 0.5,
      group: 1,
      evidence: [
        {
          reading: "drive LT amps",
          measured: 0.0012,
          predicted: 0,
          deviations: 0.3,
          deviationsIfHealthy: -55.2,
          speaks: "for",
        },
      ],
    },
    { faults: [{ kind: "open", at: "wire:LT" }], probability: 0.42, group: 1 },
    { faults: [{ kind: "open", at: "ground-bond" }], probability: 0.08, group: 2 },
  ],
  groups: [
    { group: 2, probability: 0.08, text: "ground bond open", members: 1 },
    { group: 1, probability: 0.92, text: "left rear lamp dead, or the wire of LT broken", members: 2 },
  ],
  nextChecks: [
    {
      check: { look: "left-rear.bright" },
      bits: 0.94,
      text: "Look at the left rear lamp's filament.",
      minutes: 2,
      outcomes: [
        { answer: "whole", text: "the filament is whole", chance: 0.45 },
        { answer: "broken", text: "the filament is broken", chance: 0.55 },
      ],
    },
  ],
};

/** Lets the page hear these accounts in the place of what the server found. */
async function tell(page: Page, accounts: Accounts): Promise<void> {
  await page.routeWebSocket(/socket\.io/, (socket) => {
    const server = socket.connectToServer();
    server.onMessage((message) => {
      const text = String(message);
      // Whoever was cut off for a moment gets the whole state anew.
      if (!/^42\["(changed|snapshot)"/.test(text)) return socket.send(message);
      const [name, sections, ...more] = JSON.parse(text.slice(2));
      const end = sections.walk?.end;
      if (end?.kind === "judged") end.findings = { ...end.findings, ...accounts };
      socket.send(`42${JSON.stringify([name, sections, ...more])}`);
    });
  });
  await page.reload();
}

async function judgedPage(accounts: Accounts): Promise<Page> {
  const { url } = await serveForTest({ benches: machineWithPorts() });
  const page = await openPage(url);
  await tell(page, accounts);
  await choosePlan(page, hatchback);
  await walkToVerdict(page);
  return page;
}

describePage("what explains the readings", () => {
  test("explanations stand likeliest first, each with its chance as number and words, and its grounds on demand", async () => {
    const page = await judgedPage(told);
    const items = page.getByRole("region", { name: "What explains this" }).locator(".explanation");
    expect(await items.locator(".chance").allTextContents()).toEqual([
      "92\u00a0% very likely",
      "8\u00a0% very unlikely",
    ]);
    expect(await items.locator(".explanation-text").allTextContents()).toEqual([
      "Left rear lamp dead, or the wire of LT broken.",
      "Ground bond open.",
    ]);
    await items.first().getByText("Readings for and against it").click();
    expect(await textOf(items.first().locator(".grounds li"))).toContain("For: drive LT amps measured 0.0012");
    expect(await accessibilityProblems(page)).toEqual([]);
    await page.setViewportSize({ width: 360, height: 740 });
    // The chart follows the window on its next frame.
    await expect.poll(() => sidewaysOverflow(page)).toBe(0);
  });

  test("the next checks say what to do, what it is worth and what may come of it", async () => {
    const page = await judgedPage(told);
    const first = page.getByRole("region", { name: "Look at this first" }).getByRole("listitem").first();
    expect(await textOf(first)).toMatch(
      /^1Look at the left rear lamp's filament\..*Tells much \(0\.94 bits\), takes about 2\smin/,
    );
    const outcomes = first.getByRole("group", { name: "Look at the left rear lamp's filament." }).getByRole("button");
    expect(await outcomes.allTextContents()).toEqual([
      "the filament is broken55\u00a0%",
      "the filament is whole45\u00a0%",
    ]);
    for (const outcome of await outcomes.all())
      expect((await outcome.boundingBox())?.height).toBeGreaterThanOrEqual(44);
  });

  test("where there is nothing to explain, nothing is shown", async () => {
    const page = await judgedPage({ explanations: [], groups: [], nextChecks: [] });
    expect(await page.getByText("What explains this").count()).toBe(0);
    expect(await page.getByText("Look at this first").count()).toBe(0);
  });
});
