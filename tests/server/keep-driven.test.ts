import { expect, test } from "vitest";
import { describeLan, openPaired, serveOnLan } from "./lan-for-test.js";
import { slowOnceWalked } from "./slow-benches.js";
import { WorkbenchClient } from "./workbench-client.js";

async function walkTo(client: WorkbenchClient): Promise<Readonly<Record<string, string>>> {
  await client.must("plan:choose", { planId: "sample:hatchback-round-6.json" });
  await client.must("faults:set", { faults: [{ choice: "open@lamp:left-rear.bright" }] });
  await client.walkToTheEnd();
  const { nextCheck } = await client.until(({ keepDriven, nextCheck }) => {
    return keepDriven.hindrance === null && nextCheck.toDrive.length > 0;
  });
  const [first] = nextCheck.toDrive;
  expect(first?.pin).toBe(first?.check.while ?? first?.check.drive);
  return first?.check ?? {};
}

describeLan("a pin that is kept driven for a next check", () => {
  test("is not for a watcher, not for what is not asked, and off at once when whoever controls is gone", async () => {
    const served = await serveOnLan({ benches: slowOnceWalked() });
    const computer = await WorkbenchClient.open(served.url);
    const watcher = await openPaired(served, "watch");
    const phone = await openPaired(served, "control", true);
    const check = await walkTo(phone);
    const before = JSON.stringify([watcher.state.walk, watcher.state.round]);
    expect(await watcher.ask("keep-driven:start", { check })).toMatchObject({ code: "watch-only" });
    expect(await phone.ask("keep-driven:start", { check: { walkRound: "all" } })).toMatchObject({
      code: "no-such-check",
    });
    await phone.must("keep-driven:start", { check });
    await watcher.until(({ keepDriven }) => keepDriven.driven);
    await computer.must("control:give", { to: "computer" });
    const { keepDriven: handed } = await watcher.until((state) => state.keepDriven.state === "ended");
    expect(handed.end?.message).toContain("control went to somebody else. All outputs are off.");
    await computer.must("control:give", { to: "phone-2" });
    await phone.must("keep-driven:start", { check });
    const { keepDriven } = await watcher.until((state) => state.keepDriven.amps !== null);
    expect(keepDriven).toMatchObject({ state: "running", driven: true, check, holder: phone.socket.id });
    expect(await phone.ask("walk:start", {})).toMatchObject({ code: "walking" });
    phone.close();
    const { keepDriven: ended } = await watcher.until((state) => state.keepDriven.state === "ended");
    expect(ended).toMatchObject({
      driven: false,
      holder: null,
      end: { message: expect.stringMatching(/whoever controlled it is gone\. All outputs are off\.$/) },
    });
    expect(JSON.stringify([watcher.state.walk, watcher.state.round])).toBe(before);
    computer.close();
    watcher.close();
  });

  test("goes off when it is switched off, when its page is gone, when anybody stops, and before an answer is taken", async () => {
    const served = await serveOnLan({ benches: slowOnceWalked() });
    const client = await WorkbenchClient.open(served.url);
    const watcher = await openPaired(served, "watch");
    const check = await walkTo(client);
    const ends = {
      off: () => client.must("keep-driven:off", {}),
      stop: () => watcher.must("walk:stop", {}),
      answer: async () => {
        const { end } = client.state.walk;
        const asked = end?.kind === "judged" ? end.findings.nextChecks : [];
        const outcome = asked.find((one) => JSON.stringify(one.check) === JSON.stringify(check))?.outcomes?.[0];
        await client.must("next-check:answer", { check, answer: outcome?.answer ?? "" });
      },
    };
    // The same person's other page is gone, and with it the one who looked.
    const page = await WorkbenchClient.open(served.url);
    await page.must("keep-driven:start", { check });
    await client.until(({ keepDriven }) => keepDriven.driven);
    page.close();
    await client.until(({ keepDriven }) => keepDriven.state === "ended");
    expect(client.state.keepDriven.end?.message).toContain("is gone");
    for (const end of Object.values(ends)) {
      await client.must("keep-driven:start", { check });
      await client.until(({ keepDriven }) => keepDriven.driven);
      await end();
      const { keepDriven } = await client.until((state) => state.keepDriven.state === "ended");
      expect(keepDriven.end?.message).toMatch(/was stopped by hand\. All outputs are off\.$/);
    }
    expect(client.state.nextCheck.history).toHaveLength(1);
    client.close();
    watcher.close();
  });
});
