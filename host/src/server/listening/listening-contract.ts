import { z } from "zod";

/** What is listened to: one wire of a vehicle, or every pin of a tow vehicle's outlet. */
const listeningUses = ["wire", "outlet"] as const;
export type ListeningUse = (typeof listeningUses)[number];

const said = z.string().regex(/^[\p{L}\p{N}][\p{L}\p{N} -]{0,39}$/u, "letters, digits, blanks and hyphens, 40 at most");
const line = z.string().regex(/^\P{Cc}*$/u, "control characters are not allowed here");

/** Commands of listening. */
export const listeningSchemas = {
  /** What the next listening does, as far as it is to change; shared by every browser. */
  "listening:set-up": z.strictObject({
    use: z.enum(listeningUses).exactOptional(),
    /** Pin of the bench's connector that the probe lead sits on. */
    pin: z.string().min(1).max(8).exactOptional(),
    /** What the person calls the wire: where it is, its colour. */
    wire: line.max(80).exactOptional(),
    /** Volts that a pin of the outlet may lose with the far loads on. */
    mostDropVolts: z.number().min(0.05).max(10).exactOptional(),
  }),
  "listening:start": z.strictObject({}),
  /** The person has switched a function of the vehicle on or off. */
  "listening:said": z.strictObject({ name: said, on: z.boolean() }),
  /** Enough of this wire; at the outlet: it is as asked, or this part is left out. */
  "listening:answer": z.strictObject({ answer: z.enum(["finish", "ready", "skip"]) }),
  /** Takes a line of the finding sheet away. */
  "listening:forget": z.strictObject({ findingId: z.number().int().min(1) }),
  /** Puts a line of the finding sheet into the chosen plan, at a joint with the vehicle's wiring; a sample is copied first. */
  "listening:into-plan": z.strictObject({
    findingId: z.number().int().min(1),
    pin: z.string().min(1).max(8),
    feed: z.string().min(1).max(64),
  }),
  /** The simulated vehicle: which wire the probe is on, what is switched on, how the outlet is. */
  "listening:simulate": z.strictObject({
    wireId: z.string().min(1).max(40),
    on: z.array(z.string().min(1).max(40)).max(16),
    farLoads: z.boolean(),
    poorPin: z.string().min(1).max(8).nullable(),
  }),
} as const;

export interface ListeningSettings {
  readonly use: ListeningUse;
  readonly pin: string;
  readonly wire: string;
  readonly mostDropVolts: number;
}

/** A place where the probe lead can sit. */
export interface ProbePlace {
  readonly pin: string;
  readonly functionText: string;
  /** Input of the bench behind it, from 1. */
  readonly input: number;
}

/** A function of the vehicle that a person can say they switch. */
export interface SaidFunction {
  readonly name: string;
  readonly text: string;
  readonly on: boolean;
}

/** What a wire does, in sentences: the first says it, the others what to bear in mind. */
export interface HeardView {
  readonly words: readonly string[];
  /** Which function it carries, in one sentence. */
  readonly functionWords: string;
  /** Nothing at all is heard. */
  readonly silent: boolean;
  /** The functions that it carries, where what was said has told them; empty before. */
  readonly functions: readonly string[];
  /** Something a control module makes: no plain diode joint without thought. */
  readonly caution: boolean;
  readonly lostWindows: number;
}

/** A line of the finding sheet. */
export interface FindingView extends HeardView {
  readonly id: number;
  readonly heardAt: string;
  readonly wire: string;
  readonly pin: string;
  readonly planName: string;
}

/** A joint of the plan with the vehicle's own wiring. */
export interface JointView {
  readonly pin: string;
  /** `socket.filament`, as the plan has it. */
  readonly feed: string;
  readonly text: string;
  /** What the plan says of the vehicle's wire there. */
  readonly vehicleWire: string | null;
}

export interface OutletPinView {
  readonly pin: string;
  readonly functionText: string;
  /** What it does at this moment, while it is listened to. */
  readonly now: boolean;
  /** Volts without and with the far loads; null where not measured. */
  readonly openVolts: number | null;
  readonly loadedVolts: number | null;
  /** Of the way to this pin, ohms. */
  readonly ohms: number | null;
  readonly verdict: "pass" | "fail" | "unsure" | null;
  readonly words: string | null;
  /** Names of its strips. */
  readonly openStrip: string;
  readonly loadedStrip: string;
}

export type ListeningEnd =
  | { readonly kind: "heard"; readonly finding: FindingView }
  | { readonly kind: "compared"; readonly overall: "pass" | "fail" | "unsure" }
  | { readonly kind: "stopped"; readonly message: string }
  | { readonly kind: "could-not-test"; readonly message: string };

/** Only on the virtual bench: what is played, and what else could be. */
export interface SimulatedSource {
  readonly wires: readonly { readonly id: string; readonly text: string }[];
  readonly wireId: string;
  readonly functions: readonly { readonly name: string; readonly text: string; readonly on: boolean }[];
  readonly farLoads: boolean;
  /** A pin of the outlet with a poor contact. */
  readonly poorPin: string | null;
  readonly pins: readonly string[];
}

export interface ListeningView {
  readonly state: "idle" | "running" | "stopping" | "ended";
  /** Why it cannot begin now. */
  readonly hindrance: string | null;
  readonly end: ListeningEnd | null;
  /** Counts since the server was started; 0 before the first. */
  readonly run: number;
  readonly settings: ListeningSettings;
  readonly places: readonly ProbePlace[];
  /** What goes on or went on; the settings may have been changed since. */
  readonly use: ListeningUse;
  readonly step: "connecting" | "listening" | "without-loads" | "with-loads" | null;
  /** How the outlet has to be, while somebody is waited for to say that it is. */
  readonly stepWords: string | null;
  /** The pin that is listened to. */
  readonly pin: string | null;
  readonly wire: string;
  readonly said: readonly SaidFunction[];
  readonly now: HeardView | null;
  readonly outlet: readonly OutletPinView[];
  readonly findings: readonly FindingView[];
  /** Of the chosen plan; none for a cable. */
  readonly joints: readonly JointView[];
  readonly simulated: SimulatedSource | null;
}
