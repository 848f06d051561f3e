import { z } from "zod";
import type { Findings } from "../diagnosis/findings.js";
import type { Severity } from "../plan/check/remark.js";
import type { BackFeedStep } from "../procedures/back-feed-watch-events.js";
import type { WalkPhase } from "../procedures/walk-events.js";
import type { PeopleView, YouView } from "./access/access-contract.js";
import type { BaysView } from "./bays/bays-contract.js";
import { type BenchCareSections, benchCareCommands } from "./bench-care/bench-care-contract.js";
import type { BenchFacts } from "./bench-care/bench-facts.js";
import { type CableView, cableCommands } from "./cable-batch/cable-contract.js";
import { type FlexWatchView, flexWatchSchemas } from "./flex-watch/flex-watch-contract.js";
import { type GuideView, guideCommands } from "./guided-check/guide-contract.js";
import { type ListeningView, listeningSchemas } from "./listening/listening-contract.js";
import { type KeepDrivenView, keepDrivenCommands } from "./next-check/keep-driven-contract.js";
import { type NextCheckView, nextCheckCommands } from "./next-check/next-check-contract.js";
import type { WiringView } from "./plan-drafting/wiring-contract.js";
import type { StripBatch } from "./strip/strip-contract.js";

/**
 * Everything that passes between server and browser. Browsers send commands, each with an acknowledgement; the server
 * sends the whole state once, then the sections that changed, and the samples of a drive in batches.
 * Amps, volts and ohms throughout; milliseconds of the bench's clock.
 */
const id = z.string().min(1).max(256);
const faultChoice = z.strictObject({
  /** A choice of {@link FaultGroup}, as `kind@place`. */
  choice: z.string().min(3).max(200),
  /** Only for kinds that carry a resistance. */
  ohms: z.number().positive().max(1e6).optional(),
});

/** The commands of a browser: name → schema of its payload. Everything else is refused. */
export const commandSchemas = {
  "bench:refresh": z.strictObject({}),
  "bench:choose": z.strictObject({ benchId: id }),
  "plan:choose": z.strictObject({ planId: id }),
  /** The text of a plan file, so that a broken file is explained by the same words wherever it came from. */
  "plan:upload": z.strictObject({ fileName: z.string().min(1).max(120), text: z.string().max(200_000) }),
  "faults:set": z.strictObject({ faults: z.array(faultChoice).max(16) }),
  "check:tick": z.strictObject({ checkId: id, ticked: z.boolean() }),
  "walk:start": z.strictObject({}),
  /** Stops whatever goes on: walk, back-feed watch or walk-round. */
  "walk:stop": z.strictObject({}),
  /** Asks whoever controls to hand control over; takes it where it is free. */
  "control:ask": z.strictObject({}),
  "control:give": z.strictObject({ to: id }),
  /** Whoever asked does not get it. */
  "control:refuse": z.strictObject({}),
  /** Sends a paired browser away for good. */
  "people:end": z.strictObject({ personId: id }),
  "back-feed:start": z.strictObject({}),
  "back-feed:answer": z.strictObject({ answer: z.enum(["confirm", "skip", "finish"]) }),
  /** Switches the simulated vehicle's own functions: these on, all others off. */
  "back-feed:switch": z.strictObject({ askId: id.nullable() }),
  "round:start": z.strictObject({}),
  /** Null for “not sure”. */
  "round:answer": z.strictObject({
    step: z.number().int().min(1).max(64),
    lit: z.array(z.string().min(1).max(64)).max(64).nullable(),
  }),
  /** The page of whoever looks is alive and in sight. */
  "round:keep": z.strictObject({}),
  /** Lights the circuit again, and takes the walk-round over to this browser. */
  "round:light": z.strictObject({}),
  /** That is enough: what was answered counts, the rest is not judged. */
  "round:finish": z.strictObject({}),
  ...guideCommands,
  ...nextCheckCommands,
  ...keepDrivenCommands,
  ...cableCommands,
  ...flexWatchSchemas,
  ...listeningSchemas,
  ...benchCareCommands,
} as const;

export type CommandName = keyof typeof commandSchemas;
export type CommandPayload<Name extends CommandName> = z.infer<(typeof commandSchemas)[Name]>;

/** One thing that is wrong with a document, at a path such as `circuits[2].pin`. */
export interface Problem {
  readonly path: string;
  readonly message: string;
}

/** The answer to a command. `code` is for programs, `message` for people, `problems` for documents. */
export type CommandAck =
  | { readonly ok: true }
  | { readonly ok: false; readonly code: string; readonly message: string; readonly problems?: readonly Problem[] };

export type ClientToServerEvents = {
  [Name in CommandName]: (payload: CommandPayload<Name>, answer: (ack: CommandAck) => void) => void;
};

export interface ServerToClientEvents {
  /** Who is here and who controls, and which of them this browser is; before the snapshot and at every change. */
  people: (view: PeopleView, you: YouView) => void;
  /** The whole state; on connecting, and for a late joiner the same as everybody else sees. */
  snapshot: (state: WorkbenchState, traces: TraceBatch) => void;
  /** The bays there are, this one among them. */
  bays: (view: BaysView) => void;
  /** The sections that have changed, each whole. */
  changed: (sections: Partial<WorkbenchState>) => void;
  /** Samples since the last batch. */
  live: (batch: TraceBatch) => void;
  /** Windows of watched wires that are kept, after the snapshot. */
  strips: (batches: readonly StripBatch[]) => void;
  /** Windows of a watched wire since the last batch; an empty batch of a new run begins anew. */
  strip: (batch: StripBatch) => void;
}

/** A bench that can be chosen, or a port that cannot, with the reason and what to do about it. */
export interface BenchView {
  readonly id: string;
  readonly kind: "virtual" | "serial";
  readonly name: string;
  readonly path: string;
  readonly state: "ready" | "busy" | "other-protocol" | "not-a-bench" | "unreachable";
  /** What is known of it, or what to do when it cannot be used. */
  readonly detail: string;
  /** Of a bench that was asked. */
  readonly facts?: BenchFacts;
}

export interface BenchesView {
  readonly searching: boolean;
  readonly found: readonly BenchView[];
  readonly chosenId: string | null;
  /** Why the last search went wrong, if it did. */
  readonly problem: string | null;
}

export interface PlanSummary {
  readonly id: string;
  readonly name: string;
  readonly kind: "install" | "cable";
  readonly origin: "sample" | "own";
  readonly connectors: string;
  readonly circuits: number;
}

/** A file in the plan folder that is no plan. */
export interface PlanRefused {
  readonly fileName: string;
  readonly problems: readonly Problem[];
}

export interface PlansView {
  readonly list: readonly PlanSummary[];
  readonly refused: readonly PlanRefused[];
  readonly chosen: PlanView | null;
  /** Whether the chosen plan is still what it was when it was chosen. */
  readonly chosenIs: "same" | "changed" | "deleted";
  /** Where opened plans are kept. */
  readonly folder: string;
  /** Why the last plan could not be kept there, if so; it is then forgotten when the server ends. */
  readonly problem: string | null;
}

export interface PlanView extends PlanSummary {
  readonly nominalVolts: number;
  readonly faces: readonly FaceView[];
  /** In the order of the walk. */
  readonly expected: readonly ExpectedPinView[];
  /** What the check of the plan has to say, the worst first. */
  readonly remarks: readonly RemarkView[];
  readonly cutList: CutListView;
  readonly wiring: WiringView;
}

/** One remark; `figure` and `limit` are numbers with their unit, in words. */
export interface RemarkView {
  readonly severity: Severity;
  readonly where: string;
  readonly text: string;
  readonly figure: string | null;
  readonly limit: string | null;
  readonly source: string;
}

/** What to get from the shelf. Metres, allowance included. */
export interface CutListView {
  readonly allowanceText: string;
  readonly wires: readonly {
    readonly wire: string;
    /** Null where the plan names none. */
    readonly colour: string | null;
    readonly metres: number;
    readonly pieces: readonly { readonly where: string; readonly metres: number }[];
  }[];
  readonly parts: readonly { readonly part: string; readonly count: number }[];
}

/** What a pin should draw: amps with band, volts at the pin, volts at each lamp. */
export interface ExpectedPinView {
  readonly pin: string;
  readonly functionText: string;
  readonly amps: number;
  readonly low: number;
  readonly high: number;
  readonly volts: number;
  readonly lamps: readonly { readonly name: string; readonly volts: number }[];
}

/** A connector as one looks into its mating side; x to the right and y down, both −1 to 1. */
export interface FaceView {
  readonly title: string;
  readonly outline: "round" | "row";
  /** What a person must know before trusting the places, for instance that no source confirms them. */
  readonly note: string | null;
  readonly pins: readonly FacePin[];
}

export interface FacePin {
  readonly pin: string;
  readonly functionText: string;
  readonly role: "driven" | "ground" | "never-driven" | "unused";
  /** Insulation colour by name, `white/black` for a stripe; null where neither plan nor convention says. */
  readonly colour: string | null;
  /** What each convention in use on this connector gives the pin; empty where there is only one. */
  readonly byConvention: readonly { readonly name: string; readonly colour: string; readonly named: boolean }[];
  readonly x: number;
  readonly y: number;
  readonly shape: "round" | "blade";
}

/** Faults of one kind, with the places where the chosen plan can have them. */
export interface FaultGroup {
  readonly kind: string;
  readonly title: string;
  readonly meaning: string;
  /** Where the kind carries a resistance: what a person would usually put in. */
  readonly usualOhms: number | null;
  readonly choices: readonly { readonly choice: string; readonly place: string }[];
}

export interface FaultsView {
  readonly groups: readonly FaultGroup[];
  readonly put: readonly {
    readonly choice: string;
    readonly title: string;
    readonly place: string;
    readonly ohms: number | null;
  }[];
}

/** What a person must have seen to before anything is driven. */
export interface ChecksView {
  readonly needed: boolean;
  readonly items: readonly {
    readonly id: string;
    readonly text: string;
    readonly ticked: boolean;
  }[];
}

/** What has been measured on one pin so far. */
export interface PinProgress {
  readonly restVolts?: number;
  readonly lowVolts?: number;
  readonly amps?: number;
  readonly volts?: number;
  readonly peakAmps?: number;
  readonly settleMs?: number;
  readonly tripped?: boolean;
  readonly skipped?: string;
}

export type WalkEnd =
  | { readonly kind: "judged"; readonly findings: Findings }
  | { readonly kind: "stopped"; readonly message: string }
  | { readonly kind: "could-not-test"; readonly code: string; readonly message: string };

export interface WalkView {
  /** Counts the walks since the server was started; 0 before the first. */
  readonly number: number;
  readonly state: "idle" | "running" | "stopping" | "ended";
  readonly benchName: string;
  readonly planName: string;
  readonly phase: WalkPhase;
  /** The present step, counted from 1 (0 before the first), and the steps of the present phase. */
  readonly step: number;
  readonly steps: number;
  /** The pin under test. */
  readonly pin: string | null;
  readonly pins: Readonly<Record<string, PinProgress>>;
  readonly end: WalkEnd | null;
  readonly hasReadings: boolean;
}

/** How a job that follows a walk has ended. The findings that it led to stand with the walk. */
export type JobEnd =
  | { readonly kind: "judged"; readonly overall: Findings["overall"]; readonly added: boolean }
  | { readonly kind: "stopped"; readonly message: string; readonly added: boolean }
  | { readonly kind: "could-not-test"; readonly message: string; readonly added: boolean };

interface JobView {
  readonly state: "idle" | "running" | "stopping" | "ended";
  /** Why it cannot begin now. */
  readonly hindrance: string | null;
  readonly end: JobEnd | null;
}

export interface BackFeedAskView {
  readonly id: string;
  /** What to switch on: `the tail lamps`. */
  readonly text: string;
  readonly state: "to-come" | "now" | "quiet" | "fed" | "skipped";
  /** What showed up, where something did. */
  readonly detail: string | null;
}

export interface BackFeedView extends JobView {
  readonly step: "connecting" | BackFeedStep | null;
  readonly asks: readonly BackFeedAskView[];
  /** The last look: every pin but the ground. */
  readonly pins: readonly {
    readonly pin: string;
    readonly functionText: string;
    readonly volts: number | null;
    readonly over: boolean;
  }[];
  /** Volts above a sound vehicle's leakage that count as back-feed. */
  readonly marginVolts: number;
  /** Only on the virtual bench: the ask whose functions are on in the simulated vehicle; null for none. */
  readonly simulated: { readonly onId: string | null } | null;
}

/** A lamp housing as one looks at the vehicle from behind. */
export interface RearLampView {
  readonly name: string;
  readonly side: "left" | "centre" | "right";
  /** `word` is what to call it where there are several in one housing. */
  readonly filaments: readonly { readonly id: string; readonly word: string }[];
}

/** Never says which circuit is lit. */
export interface RoundView extends JobView {
  readonly step: number;
  readonly steps: number;
  readonly light: "connecting" | "changing" | "lit" | "dark" | null;
  readonly darkBecause: "no-sign-of-life" | "left" | null;
  /** The browser that answers, by the id of its socket. */
  readonly controller: string | null;
  readonly lamps: readonly RearLampView[];
  /** Only on the virtual bench: how brightly each lamp of the simulated vehicle glows, 0 to 1. */
  readonly simulated: Readonly<Record<string, number>> | null;
}

export interface WorkbenchState extends BenchCareSections {
  readonly version: string;
  readonly benches: BenchesView;
  readonly plans: PlansView;
  readonly faults: FaultsView;
  readonly checks: ChecksView;
  /** Why a walk cannot start now, in the order in which a person would see to it. */
  readonly hindrances: readonly string[];
  readonly walk: WalkView;
  readonly backFeed: BackFeedView;
  readonly round: RoundView;
  readonly flexWatch: FlexWatchView;
  readonly listening: ListeningView;
  readonly guide: GuideView;
  readonly nextCheck: NextCheckView;
  readonly keepDriven: KeepDrivenView;
  readonly cable: CableView;
}

/** Samples of a drive: pin → milliseconds since its start, amps and volts, as three columns. */
export interface TraceBatch {
  readonly walkNumber: number;
  readonly pins: Readonly<Record<string, TraceColumns>>;
}

export interface TraceColumns {
  readonly atMs: readonly number[];
  readonly amps: readonly number[];
  readonly volts: readonly number[];
}
