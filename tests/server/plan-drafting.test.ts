import { existsSync } from "node:fs";
import { mkdir, readdir, readFile, symlink, writeFile } from "node:fs/promises";
import { join } from "node:path";
import type {
  DraftChoices,
  PlanDocument,
  SavedDraft,
  WeighedDraft,
} from "@pinwalk/host/server/plan-drafting/drafting-contract.js";
import { WeighingDesk } from "@pinwalk/host/server/plan-drafting/weighing-desk.js";
import { describe, expect, onTestFinished, test } from "vitest";
import { machineWithPorts } from "./bench-on-a-port.js";
import { look, post } from "./records-over-http.js";
import { type ServedForTest, serveForTest } from "./serve-for-test.js";
import { WorkbenchClient } from "./workbench-client.js";

const benches = machineWithPorts();
const sample = JSON.parse(
  await readFile(new URL("../../fixtures/plans/hatchback-round-6.json", import.meta.url), "utf8"),
);
const clone = () => structuredClone(sample);
const draftOf = (change: (draft: ReturnType<typeof clone>) => void) => {
  const draft = clone();
  change(draft);
  return draft;
};

const weigh = async (url: string, draft: unknown) => (await post<WeighedDraft>(`${url}/plans/weigh`, { draft })).body;
const save = (url: string, draft: unknown, replaces: object | null = null) =>
  post<SavedDraft & { readonly code: string; readonly message: string }>(`${url}/plans/save`, { draft, replaces });

describe("weighing a draft", () => {
  test("says what is missing by place in words, and shows what can be shown without it", async () => {
    const { url } = await serveForTest({ benches });
    const whole = await weigh(url, sample);
    expect(whole.problems).toEqual([]);
    expect(whole.view?.expected.map(({ pin }) => pin).sort()).toEqual(["LT", "RT", "TM"]);
    expect(whole.sources.map(({ part }) => part)).toEqual(
      expect.arrayContaining(["Bulb 1157", "Bulb 3157", "AWG 16", "6 A silicon rectifier (6A05 to 6A10)"]),
    );

    const partly = await weigh(
      url,
      draftOf((draft) => {
        delete draft.circuits[0].wire.metres;
        draft.circuits[1].feeds[0].to = "nowhere.bright";
        draft.sockets[0].factory.bright[0].bulb = "9999";
      }),
    );
    expect(partly.problems).toContainEqual({ path: "circuits[0].wire.metres", message: "is missing", kind: "missing" });
    // Without LT, RT's lamp and the wrong bulb: TM is as it was.
    const tail = (weighed: WeighedDraft) => weighed.view?.expected.find(({ pin }) => pin === "TM")?.amps;
    expect(tail(partly)).toBeCloseTo(tail(whole) ?? 0, 4);
    expect(partly.leftOut).toContain("circuit LT");

    const nothing = await weigh(url, { ...clone(), circuits: [], name: "" });
    expect(nothing.problems.map(({ path }) => path).sort()).toEqual(["circuits", "name"]);
    expect(nothing.view?.faces[0]?.pins).toHaveLength(6);
    expect(nothing.view?.expected).toEqual([]);
  });

  test("takes any JSON without stumbling, and no more than a plan's worth of it", async () => {
    const { url } = await serveForTest({ benches });
    const deep = JSON.parse(`${'{"a":'.repeat(500)}1${"}".repeat(500)}`);
    const hostile: readonly object[] = [
      {},
      { kind: "install" },
      { kind: "cable", conductors: [null, 7, "x", { near: 1 }] },
      { ...clone(), circuits: { length: 1e9 } },
      { ...clone(), circuits: Array(5000).fill(null) },
      { ...clone(), name: "\u001b[2J", nominalVolts: 1e308 },
      { ...clone(), sockets: "constructor", ground: { pin: "__proto__", wire: [] } },
      { ...clone(), connector: { id: "custom", pins: [{}, {}] } },
      JSON.parse('{"__proto__":{"polluted":1},"kind":"install","constructor":{"prototype":1}}'),
      deep,
    ];
    for (const draft of hostile) {
      const { status, body } = await post<WeighedDraft>(`${url}/plans/weigh`, { draft });
      expect([status, body.problems.length > 0]).toEqual([200, true]);
    }
    expect(({} as Record<string, unknown>).polluted).toBeUndefined();
    for (const draft of [null, "plan", [1]]) expect((await post(`${url}/plans/weigh`, { draft })).status).toBe(400);
    expect((await post(`${url}/plans/weigh`, { draft: {}, more: 1 })).status).toBe(400);
    const fat = await post<{ code: string }>(`${url}/plans/weigh`, { draft: { name: "x".repeat(200_000) } });
    expect([fat.status, fat.body.code]).toEqual([413, "too-large"]);
    const form = await fetch(`${url}/plans/save`, {
      method: "POST",
      body: "draft=1",
      headers: { "content-type": "text/plain" },
    });
    expect(form.status).toBe(400);
  });

  test("a draft too large to be worked out in time is given up, and the next one is weighed all the same", async () => {
    const desk = new WeighingDesk(400);
    onTestFinished(() => desk.close());
    const lamps = Array.from({ length: 64 }, (_, at) => ({ id: `l${at}`, bulb: "1157" }));
    const feeds = lamps.map(({ id }) => ({
      to: `${id}.bright`,
      isolation: "silicon-6a",
      wire: { awg: 16, metres: 1 },
    }));
    const huge = draftOf((draft) => {
      draft.sockets = lamps;
      draft.circuits = ["LT", "RT", "TM", "S"].map((pin) => ({
        pin,
        function: "tail",
        wire: { awg: 16, metres: 1 },
        feeds,
      }));
    });
    expect(await desk.weigh(huge, () => true)).toBe("too-long");
    expect(await desk.weigh({}, () => false)).toBe("gone");
    // A new thread takes a moment to begin, so this one is a small draft.
    const next = new WeighingDesk();
    onTestFinished(() => next.close());
    expect(await next.weigh({ kind: "install" }, () => true)).toMatchObject({ view: null });
  });
});

describe("own plans", () => {
  let served: ServedForTest;
  let url: string;
  const begin = async () => {
    served = await serveForTest({ benches });
    url = served.url;
  };
  const files = async () => (await readdir(served.plansDir)).filter((name) => name !== "removed").sort();

  test("a saved plan gets a plain file name, never that of another file", async () => {
    await begin();
    await mkdir(served.plansDir, { recursive: true });
    // There since the folder was read, so the server does not know of them.
    await writeFile(join(served.plansDir, "bay-2.json"), "mine");
    await symlink("/dev/null", join(served.plansDir, "bay-2-2.json"));
    const named = (name: string) => draftOf((draft) => (draft.name = name));
    expect((await save(url, named("Bay 2"))).body.id).toBe("own:bay-2-3.json");
    expect(await readFile(join(served.plansDir, "bay-2.json"), "utf8")).toBe("mine");
    expect((await save(url, named("../../etc/passwd"))).body.id).toBe("own:etc-passwd.json");
    expect((await save(url, named("💡💡"))).body.id).toBe("own:plan.json");
    expect((await save(url, named("CON .json/..\\"))).body.id).toBe("own:con-json.json");
    expect(await files()).toEqual([
      "bay-2-2.json",
      "bay-2-3.json",
      "bay-2.json",
      "con-json.json",
      "etc-passwd.json",
      "plan.json",
    ]);
    const broken = await save(
      url,
      draftOf((draft) => delete draft.ground),
    );
    expect([broken.status, broken.body.code]).toEqual([422, "bad-plan"]);
  });

  test("is replaced only as it was taken up, by nobody's older edits and not over a change on the disk", async () => {
    await begin();
    const first = (await save(url, sample)).body;
    const path = join(served.plansDir, first.id.slice("own:".length));
    const edited = draftOf((draft) => (draft.circuits[0].wire.metres = 7));
    const second = await save(url, edited, { id: first.id, version: first.version });
    expect([second.status, second.body.id]).toEqual([201, first.id]);
    expect(JSON.parse(await readFile(path, "utf8"))).toEqual(edited);
    expect((await save(url, sample, { id: first.id, version: first.version })).body.code).toBe("changed");
    expect(JSON.parse(await readFile(path, "utf8"))).toEqual(edited);

    const byHand = draftOf((draft) => (draft.name = "By hand"));
    await writeFile(path, JSON.stringify(byHand));
    const late = await save(url, sample, { id: first.id, version: second.body.version });
    expect([late.status, late.body.code]).toEqual([409, "changed"]);
    expect(JSON.parse(await readFile(path, "utf8"))).toEqual(byHand);
    const { body } = await look<PlanDocument>(`${url}/plans/document?id=${encodeURIComponent(first.id)}`);
    expect(body.plan).toEqual(byHand);

    const both = await Promise.all(
      [7.1, 7.2].map((metres) =>
        save(
          url,
          draftOf((draft) => (draft.circuits[0].wire.metres = metres)),
          { id: body.id, version: body.version },
        ),
      ),
    );
    expect(both.map(({ status }) => status).sort()).toEqual([201, 409]);
  });

  test("samples, strange names and strange versions cannot be written or deleted", async () => {
    await begin();
    const id = "sample:hatchback-round-6.json";
    const { body } = await look<PlanDocument>(`${url}/plans/document?id=${encodeURIComponent(id)}`);
    const refused = [
      await save(url, sample, { id, version: body.version }),
      await save(url, sample, { id: "own:../../../tmp/x.json", version: body.version }),
      await post<{ code: string }>(`${url}/plans/delete`, { id, version: body.version }),
      await post<{ code: string }>(`${url}/plans/delete`, { id: "own:..", version: body.version }),
    ];
    expect(refused.map((one) => [one.status, one.body.code])).toEqual([
      [409, "sample"],
      [409, "no-such-plan"],
      [409, "sample"],
      [409, "no-such-plan"],
    ]);
    expect((await post(`${url}/plans/delete`, { id, version: "1" })).status).toBe(400);
    expect((await look(`${url}/plans/document?id=own:nothing.json`)).status).toBe(404);
    expect(existsSync(served.plansDir)).toBe(false);
  });

  test("a deleted plan leaves every browser's list, its file moves aside, and saving it again brings it back", async () => {
    await begin();
    const client = await WorkbenchClient.open(url);
    const saved = (
      await save(
        url,
        draftOf((draft) => (draft.name = "Short life")),
      )
    ).body;
    await client.until((state) => state.plans.list.some(({ id }) => id === saved.id));
    await client.must("plan:choose", { planId: saved.id });
    const { body } = await post<{ plan: object }>(`${url}/plans/delete`, { id: saved.id, version: saved.version });
    await client.until((state) => !state.plans.list.some(({ id }) => id === saved.id));
    expect(client.state.plans.chosenIs).toBe("deleted");
    expect(await files()).toEqual([]);
    const [aside] = await readdir(join(served.plansDir, "removed"));
    expect(JSON.parse(await readFile(join(served.plansDir, "removed", aside ?? ""), "utf8"))).toEqual(body.plan);
    expect((await save(url, body.plan)).body.id).toBe(saved.id);
    client.close();
  });

  test("a plan edited after it was chosen cannot be walked before it is chosen again", async () => {
    await begin();
    const client = await WorkbenchClient.open(url);
    const saved = (await save(url, sample)).body;
    await client.must("plan:choose", { planId: saved.id });
    expect(client.state.hindrances).toEqual([]);
    await save(
      url,
      draftOf((draft) => (draft.circuits[0].wire.metres = 9)),
      { id: saved.id, version: saved.version },
    );
    await client.until((state) => state.plans.chosenIs === "changed");
    expect(client.state.hindrances.join()).toMatch(/edited/);
    expect(await client.ask("walk:start", {})).toMatchObject({ ok: false });
    await client.must("plan:choose", { planId: saved.id });
    expect(client.state.hindrances).toEqual([]);
    client.close();
  });
});

test("a draft moves to another connector with its circuits, colours and resting pins", async () => {
  const { url } = await serveForTest({ benches });
  const refit = async (request: object) => (await post<typeof sample>(`${url}/plans/refit`, request)).body;
  const blade = await refit({ draft: sample, end: "connector", to: "blade-7" });
  expect(blade).toMatchObject({
    connector: "blade-7",
    colourConvention: "sae",
    ground: { pin: "GD" },
    senseOnly: ["S", "A", "AX"],
  });
  const motorhome = await refit({ draft: blade, colourConvention: "rv" });
  const colours = motorhome.circuits.map((one: { pin: string; wire: { colour: string } }) => [
    one.pin,
    one.wire.colour,
  ]);
  expect(Object.fromEntries(colours)).toEqual({ LT: "red", RT: "brown", TM: "green" });
  expect(motorhome.circuits[2].feeds[1].wire.colour).toBe("green");
  const flat = await refit({ draft: sample, end: "connector", to: "flat-4" });
  expect(flat.circuits.map((one: { pin: string }) => one.pin)).toEqual(["3", "4", "2"]);
  expect((await weigh(url, flat)).problems).toEqual([]);
});

// Four whole walks, which take their time on a busy machine; the remaining template is walked from the page.
test("a template's plan is saved and walked on the virtual bench: a sound vehicle is never called faulty", async () => {
  const { url } = await serveForTest({ benches });
  const client = await WorkbenchClient.open(url);
  const { body } = await look<DraftChoices>(`${url}/plans/choices`);
  const ends: Record<string, unknown> = {};
  const walked = /^(amber-turn|led-lamps|lamp-bar|umbilical)$/;
  for (const { id, connectors, farConnectors } of body.templates.filter(({ id }) => walked.test(id))) {
    const far = farConnectors[0];
    const query = new URLSearchParams({ id, connector: connectors[0] ?? "", ...(far ? { far } : {}) });
    const saved = (await save(url, (await look(`${url}/plans/template?${query}`)).body)).body;
    await client.must("plan:choose", { planId: saved.id });
    const { walk } = await client.walkToTheEnd();
    ends[id] = walk.end?.kind === "judged" ? walk.end.findings.overall : walk.end;
  }
  // Only eyes can tell left from right; a cable has neither.
  expect(ends).toEqual({ "amber-turn": "unsure", "led-lamps": "unsure", "lamp-bar": "unsure", umbilical: "pass" });
  client.close();
}, 120_000);

test("every choice has its source or its figures, and a template is made on what it offers alone", async () => {
  const { url } = await serveForTest({ benches });
  const { body } = await look<DraftChoices>(`${url}/plans/choices`);
  expect(body.bulbs.filter(({ source, figures }) => source === "" || figures === "")).toEqual([]);
  expect(body.connectors.length).toBeGreaterThan(7);
  for (const query of [
    "id=umbilical&connector=blade-7&far=nothing",
    "id=nothing&connector=flat-4",
    "id=blank-cable&connector=x",
  ])
    expect((await look(`${url}/plans/template?${query}`)).status).toBe(404);
});
