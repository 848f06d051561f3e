import type { Router } from "express";
import type { SerialLog } from "../bench/serial-log.js";
import { accessRoutes } from "./access/access-routes.js";
import type { PeopleDesk } from "./access/people-desk.js";
import type { Bay, Bays } from "./bays/bays.js";
import type { CareDocuments } from "./bench-care/care-documents.js";
import { careRoutes } from "./bench-care/care-routes.js";
import { documentRoutes } from "./document-routes.js";
import { flexWatchRoutes } from "./flex-watch/flex-watch-routes.js";
import { listeningRoutes } from "./listening/listening-routes.js";
import { draftingRoutes } from "./plan-drafting/drafting-routes.js";
import type { WeighingDesk } from "./plan-drafting/weighing-desk.js";
import type { PlanShelf } from "./plan-shelf.js";
import { recordsRoutes } from "./records/records-routes.js";

export interface RouterParts {
  readonly people: PeopleDesk;
  readonly bays: Bays;
  readonly log: SerialLog;
  readonly care: CareDocuments;
  readonly plans: PlanShelf;
  readonly weighing: WeighingDesk;
}

/**
 * Everything beside the page itself that is answered over HTTP, by the first part of its address. Who may ask for what stands in
 * `access/needs.ts`; what is not named there is for whoever controls.
 */
export function dashboardRouters(parts: RouterParts): Readonly<Record<string, Router>> {
  const { people, bays, log, care, plans, weighing } = parts;
  return {
    "/access": accessRoutes(people),
    "/bench-care": careRoutes(log, care),
    "/plans": draftingRoutes(plans, weighing, () => bays.plansChanged()),
  };
}

/** What is answered about one bay. */
export function bayRouters({ workbench, records }: Bay): Readonly<Record<string, Router>> {
  return {
    "/documents": documentRoutes(workbench),
    "/records": recordsRoutes(records),
    "/flex-watch": flexWatchRoutes(workbench.flexWatch),
    "/listening": listeningRoutes(workbench.listening),
  };
}
