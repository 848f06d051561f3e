/** The wiring of a plan as a drawing needs it: what is joined to what, in words and in order; no place on any paper. */
export type WiringView = InstallWiring | CableWiring;

export interface InstallWiring {
  readonly kind: "install";
  readonly connector: string;
  readonly circuits: readonly WiringCircuit[];
  /** Lamp housings, left ones first, right ones last. */
  readonly housings: readonly WiringHousing[];
  readonly ground: { readonly pin: string; readonly wire: WireText };
}

export interface CableWiring {
  readonly kind: "cable";
  readonly near: string;
  readonly far: string;
  readonly conductors: readonly {
    readonly near: string;
    readonly nearText: string;
    readonly far: string;
    readonly farText: string;
    readonly wire: WireText;
  }[];
}

export interface WireText {
  /** Gauge and length: `AWG 16, 5.8 m`. */
  readonly text: string;
  /** Null where the plan names none. */
  readonly colour: string | null;
}

export interface WiringCircuit {
  readonly pin: string;
  readonly functionText: string;
  readonly neverDriven: boolean;
  readonly wire: WireText;
  readonly feeds: readonly {
    /** A lamp of {@link WiringHousing}. */
    readonly lamp: string;
    /** The jumper from the splice; null where the trunk itself goes on to the lamp. */
    readonly wire: WireText | null;
    /** The diode towards the tow vehicle; null where the wire goes straight through. */
    readonly diode: string | null;
  }[];
}

export interface WiringHousing {
  readonly name: string;
  readonly side: "left" | "centre" | "right";
  readonly lamps: readonly WiringLamp[];
}

export interface WiringLamp {
  readonly id: string;
  /** What it is: `1157 bright`, `LED 0.35 A`. */
  readonly load: string;
  /** The vehicle's own feed of this lamp, what it joins through and what else hangs on it; null where the plan has none. */
  readonly ownFeed: string | null;
  /** The vehicle's wire that is spliced into here, as it was found; null where the plan does not say. */
  readonly vehicleWire: string | null;
}
