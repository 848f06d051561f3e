import { z } from "zod";
import type { PlanView, Problem } from "../contract.js";

/**
 * What passes between a browser that drafts a plan and the server, all under `/plans`. Requests and answers rather than a
 * part of the workbench's state: a draft is nobody else's before it is saved. A draft is JSON of any form: what is wrong or
 * missing in it is told, not refused.
 */
export const mostDraftBytes = 200_000;

const planId = z.string().min(1).max(256);
const connectorId = z.string().min(1).max(32);
const version = z.string().regex(/^[0-9a-f]{16}$/);
const draft = z.unknown().refine((one) => typeof one === "object" && one !== null && !Array.isArray(one), {
  message: "a draft is an object",
});

/** `GET /plans/template`. */
export const templateQuerySchema = z.strictObject({
  id: z.string().min(1).max(64),
  connector: connectorId,
  far: connectorId.optional(),
});
/** `GET /plans/document`. */
export const documentQuerySchema = z.strictObject({ id: planId });
/** `POST /plans/weigh`. */
export const weighRequestSchema = z.strictObject({ draft });
/** `POST /plans/refit`: the draft for another connector, or in another convention's colours. */
export const refitRequestSchema = z.strictObject({
  draft,
  end: z.enum(["connector", "near", "far"]).optional(),
  to: connectorId.optional(),
  colourConvention: z.enum(["sae", "rv", "iso"]).optional(),
});
/** `POST /plans/save`. `replaces` names an own plan as it was when it was taken up; null makes a new one. */
export const saveRequestSchema = z.strictObject({
  draft,
  replaces: z.strictObject({ id: planId, version }).nullable(),
});
/** `POST /plans/delete`. */
export const deleteRequestSchema = z.strictObject({ id: planId, version });

export type SaveRequest = z.infer<typeof saveRequestSchema>;
export type RefitRequest = z.infer<typeof refitRequestSchema>;

/** Any refusal, with the status beside it; `code` for programs, `message` for people. */
export interface DraftRefusal {
  readonly code: string;
  readonly message: string;
  readonly problems?: readonly Problem[];
}

/** `missing`: not filled in yet; `strange`: a key that no plan has. */
export interface DraftProblem extends Problem {
  readonly kind: "missing" | "strange" | "wrong";
}

/** What a draft comes to. */
export interface WeighedDraft {
  /** Everything that is wrong or missing, by path; empty when the plan can be saved. */
  readonly problems: readonly DraftProblem[];
  /** The plan, or of one with problems the part without them; null where nothing can be shown. */
  readonly view: PlanView | null;
  /** What the view leaves out because something is wrong with it, in words. */
  readonly leftOut: readonly string[];
  /** Why no currents can be told although nothing is missing. */
  readonly unsolvable: string | null;
  readonly sources: readonly PartSource[];
}

/** A part that the draft uses, its figures, and where they come from. */
export interface PartSource {
  readonly part: string;
  readonly figures: string;
  readonly source: string;
}

export interface PlanDocument {
  readonly id: string;
  readonly origin: "sample" | "own";
  readonly version: string;
  readonly plan: object;
}

export interface SavedDraft {
  readonly id: string;
  readonly version: string;
  /** What else a person should know, for instance that it could not be written to the disk. */
  readonly remark: string | null;
}

/** What a drafter can choose from, as the host's libraries have it. */
export interface DraftChoices {
  readonly templates: readonly TemplateChoice[];
  readonly connectors: readonly ConnectorChoiceView[];
  readonly functions: readonly { readonly id: string; readonly words: string }[];
  readonly bulbs: readonly BulbChoice[];
  readonly wires: readonly {
    readonly system: "awg" | "sae" | "mm2";
    readonly size: number;
    readonly name: string;
    readonly figures: string;
  }[];
  readonly diodes: readonly { readonly id: string; readonly name: string; readonly figures: string }[];
  readonly fuses: readonly { readonly amps: number; readonly colour: string; readonly source: string }[];
  /** What a drafter begins with, and what holds where a plan is silent. */
  readonly usual: {
    readonly branchMetres: number;
    readonly cableMetres: number;
    /** An LED lamp to begin with. */
    readonly led: object;
    readonly kneeVolts: number;
    readonly contactOhms: number;
    readonly socketGroundOhms: number;
    readonly groundBondOhms: number;
  };
}

export interface TemplateChoice {
  readonly id: string;
  readonly kind: "install" | "cable";
  readonly title: string;
  readonly detail: string;
  readonly connectors: readonly string[];
  readonly farConnectors: readonly string[];
}

export interface ConnectorChoiceView {
  readonly id: string;
  readonly name: string;
  readonly conventions: readonly { readonly id: "sae" | "rv" | "iso"; readonly name: string }[];
  readonly pins: readonly {
    readonly pin: string;
    readonly function: string;
    readonly use: string;
    /** Convention → colour. */
    readonly colours: Readonly<Record<string, string>>;
    /** A wire to begin with. */
    readonly wire: object;
  }[];
}

export interface BulbChoice {
  readonly id: string;
  readonly nominalVolts: number;
  readonly figures: string;
  readonly hasDim: boolean;
  readonly source: string;
}
