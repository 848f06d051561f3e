import type { BenchPort } from "../../bench/port.js";
import type { VirtualBench } from "../../bench/virtual/virtual-bench.js";
import { adapterOf } from "../../plan/adapter.js";
import type { Plan } from "../../plan/plan-schema.js";
import type { BenchDesk, DeskGround } from "../bench-desk.js";
import type { BenchView, CommandAck, CommandPayload } from "../contract.js";
import { pinUse } from "../place-words.js";
import type { StripBatch } from "../strip/strip-contract.js";
import type { StopReason } from "../walk-fold.js";
import { FindingSheet } from "./finding-sheet.js";
import type { ListeningSettings, ListeningView, ProbePlace } from "./listening-contract.js";
import { ListeningRun } from "./listening-run.js";
import { OutletRun, outletPins } from "./outlet-run.js";
import { SimulatedVehicleSource, type Wanted } from "./simulated-source.js";
import type { SourceRun } from "./source-run.js";
import { saidFunctions } from "./vehicle-functions.js";
import { jointsOf, vehicleWireText, withVehicleWire } from "./vehicle-wire.js";

const done: CommandAck = { ok: true };
const refuse = (code: string, message: string): CommandAck => ({ ok: false, code, message });
const notGoing = refuse("not-going", "Nothing is listened to now.");

/** Where wires and outlets are listened to. Nothing is ever driven here, so no check list stands before it. */
export class ListeningDesk implements BenchDesk {
  readonly sheet = new FindingSheet();
  readonly #ground: DeskGround;
  #settings: Omit<ListeningSettings, "pin"> = { use: "wire", wire: "", mostDropVolts: 0.5 };
  /** Null for the first pin of the plan's connector. */
  #pin: string | null = null;
  #runs = 0;
  #run: SourceRun | null = null;
  #source: SimulatedVehicleSource | null = null;

  constructor(ground: DeskGround) {
    this.#ground = ground;
  }

  get going(): boolean {
    return this.#run?.going === true;
  }

  view(): ListeningView {
    const view = this.#run?.view ?? this.#idle();
    const { settings, places, joints } = this.#idle();
    const simulated = this.going ? (this.#source?.view ?? null) : null;
    return {
      ...view,
      settings,
      places,
      joints,
      simulated,
      hindrance: this.#hindrance(),
      findings: this.sheet.findings,
    };
  }

  strips(): StripBatch {
    return this.#run?.strips() ?? { job: "listening", run: this.#runs, pins: {} };
  }

  setUp({ pin = this.#idle().settings.pin, ...settings }: CommandPayload<"listening:set-up">): CommandAck {
    if (this.going) return refuse("walking", "Something is listened to. Stop it first.");
    if (!this.#places().some((place) => place.pin === pin))
      return refuse("no-such-pin", "The connector of the chosen plan has no such pin.");
    this.#settings = { ...this.#settings, ...settings };
    this.#pin = pin;
    this.#ground.onChanged("listening");
    return done;
  }

  start(): CommandAck {
    const ground = this.#ground;
    if (ground.busy()) return refuse("walking", "Something else goes on with the bench. Stop it first.");
    const hindrance = this.#hindrance();
    const bench = ground.bench();
    const plan = ground.plan();
    if (hindrance !== null || !bench || !plan) return refuse("not-ready", hindrance ?? "Not ready.");
    const idle = this.#idle();
    const { pin, wire } = idle.settings;
    const channel = adapterOf(plan).near.find((place) => place.pin === pin)?.channel;
    if (channel === undefined) return refuse("no-such-pin", "The connector of the chosen plan has no such pin.");
    this.#runs += 1;
    const source = new SimulatedVehicleSource(plan, idle.use, pin, this.#source?.wanted);
    this.#source = source;
    const shared = {
      openPort: () => openWith(source, bench, () => ground.openPort(bench)),
      onView: () => ground.onChanged("listening"),
      onStrip: (batch: StripBatch) => ground.onStrip(batch),
    };
    const begun = { ...idle, state: "running", run: this.#runs } as const;
    const run =
      idle.use === "wire"
        ? new ListeningRun({
            ...shared,
            channel,
            begun: { ...begun, pin, wire },
            onHeard: (heard) => this.sheet.add(heard, { wire, pin, planName: plan.name }),
          })
        : new OutletRun({ ...shared, plan, begun: { ...begun, outlet: outletPins(plan) } });
    this.#run = run;
    ground.onStrip(run.strips());
    ground.onChanged("listening");
    void run.done.then(() => ground.onEnded());
    return done;
  }

  said({ name, on }: CommandPayload<"listening:said">): CommandAck {
    if (!this.#run?.going) return notGoing;
    this.#run.said(name, on);
    return done;
  }

  answer({ answer }: CommandPayload<"listening:answer">): CommandAck {
    if (!this.#run?.going) return notGoing;
    this.#run.answer(answer);
    return done;
  }

  forget({ findingId }: CommandPayload<"listening:forget">): CommandAck {
    if (!this.sheet.forget(findingId)) return refuse("no-such-finding", "That line is not on the sheet any more.");
    this.#ground.onChanged("listening");
    return done;
  }

  async putIntoPlan({ findingId, pin, feed }: CommandPayload<"listening:into-plan">): Promise<CommandAck> {
    const plan = this.#ground.plan();
    const finding = this.sheet.findings.find(({ id }) => id === findingId);
    if (!finding) return refuse("no-such-finding", "That line is not on the sheet any more.");
    if (plan?.kind !== "install") return refuse("no-vehicle", "Choose the plan of a vehicle first.");
    if (this.#ground.walk())
      return refuse(
        "walked",
        "A walk of this plan is on the workbench. Keep its record, choose the plan anew, then do this.",
      );
    const copied = this.#ground.planIsSample();
    const changed = withVehicleWire(plan, { pin, feed }, vehicleWireText(finding), copied);
    return changed ? this.#ground.changePlan(changed) : refuse("no-such-joint", "The plan has no such joint.");
  }

  async simulate(wanted: Wanted): Promise<CommandAck> {
    const view = this.going ? this.#source?.view : null;
    if (!view) return refuse("no-simulation", "There is no simulated vehicle to switch now.");
    const known =
      view.wires.some(({ id }) => id === wanted.wireId) &&
      wanted.on.every((name) => view.functions.some((row) => row.name === name)) &&
      (wanted.poorPin === null || view.pins.includes(wanted.poorPin));
    if (!known) return refuse("no-such-switch", "The simulated vehicle has no such wire, switch or pin.");
    await this.#source?.play(wanted);
    this.#ground.onChanged("listening");
    return done;
  }

  stop(reason: StopReason): void {
    this.#run?.stop(reason);
  }

  async idle(): Promise<void> {
    await this.#run?.done;
  }

  reset(): void {
    if (this.#places().some(({ pin }) => pin === this.#pin)) return;
    this.#pin = null;
    this.#run = null;
  }

  left(): void {}

  #idle(): ListeningView {
    const places = this.#places();
    const pin = this.#pin ?? places[0]?.pin ?? "";
    return {
      state: "idle",
      hindrance: null,
      end: null,
      run: this.#runs,
      settings: { ...this.#settings, pin },
      places,
      use: this.#settings.use,
      step: null,
      stepWords: null,
      pin: null,
      wire: "",
      said: saidFunctions,
      now: null,
      outlet: [],
      findings: this.sheet.findings,
      joints: jointsOf(this.#ground.plan()),
      simulated: null,
    };
  }

  #places(): readonly ProbePlace[] {
    const plan = this.#ground.plan();
    return plan ? probePlaces(plan) : [];
  }

  #hindrance(): string | null {
    if (!this.#ground.bench()) return "Choose a bench first.";
    return this.#ground.plan()
      ? null
      : "Choose a plan first: it says which input of the bench each pin of the connector is.";
  }
}

/** A bench that cannot take the simulated vehicle is not left open. */
async function openWith<Port extends BenchPort | VirtualBench>(
  source: SimulatedVehicleSource,
  bench: BenchView,
  openPort: () => Promise<Port>,
): Promise<Port> {
  const port = await openPort();
  try {
    await source.plugIn(bench, port);
  } catch (error) {
    await port.close();
    throw error;
  }
  return port;
}

/** Every pin but the ground, which is what is measured against. */
function probePlaces(plan: Plan): readonly ProbePlace[] {
  const { near, groundPins } = adapterOf(plan);
  return near
    .filter(({ pin }) => !groundPins.includes(pin))
    .map(({ pin, channel }) => ({ pin, functionText: pinUse(plan, pin) ?? "", input: channel + 1 }));
}
