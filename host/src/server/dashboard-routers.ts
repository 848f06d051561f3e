import type { Router } from "express";
import type { SerialLog } from "../bench/serial-log.js";
import { accessRoutes } from "./access/access-routes.js";
import type { PeopleDesk } from "./access/people-desk.js";
import type { CareDocuments } from "./bench-care/care-documents.js";
import { careRoutes } from "./bench-care/care-routes.js";
import { documentRoutes } from "./document-routes.js";
import { flexWatchRoutes } from "./flex-watch/flex-watch-routes.js";
import { listeningRoutes } from "./listening/listening-routes.js";
import { draftingRoutes } from "./plan-drafting/drafting-routes.js";
import type { WeighingDesk } from "./plan-drafting/weighing-desk.js";
import type { PlanShelf } from "./plan-shelf.js";
import type { RecordsDesk } from "./records/records-desk.js";
import { recordsRoutes } from "./records/records-routes.js";
import type { Workbench } from "./workbench.js";

export interface RouterParts {
  readonly people: PeopleDesk;
  readonly workbench: Workbench;
  readonly records: RecordsDesk;
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
  const { people, workbench, records, log, care, plans, weighing } = parts;
  return {
    "/access": accessRoutes(people),
    "/documents": documentRoutes(workbench),
    "/records": recordsRoutes(records),
    "/flex-watch": flexWatchRoutes(workbench.flexWatch),
    "/listening": listeningRoutes(workbench.listening),
    "/bench-care": careRoutes(log, care),
    "/plans": draftingRoutes(plans, weighing, () => workbench.plansChanged()),
  };
}
