import { join } from "node:path";
import express, { type RequestHandler, type Router } from "express";

export interface AppParts {
  /** Before everything else: headers, and who may. */
  readonly before: readonly RequestHandler[];
  /** By the first part of their address, as `/records`. */
  readonly routers: Readonly<Record<string, Router>>;
  /** The built page. */
  readonly pageDir: string;
}

const fresh = {
  cacheControl: false,
  setHeaders: (response: { set(name: string, value: string): unknown }) =>
    void response.set("Cache-Control", "no-cache"),
};

/** Everything that is answered over HTTP. */
export function dashboardApp({ before, routers, pageDir }: AppParts): express.Express {
  const app = express();
  app.disable("x-powered-by");
  for (const handler of before) app.use(handler);
  for (const [path, router] of Object.entries(routers)) app.use(path, router);
  // The names of assets carry a hash of what is in them.
  app.use("/assets", express.static(join(pageDir, "assets"), { immutable: true, maxAge: "1y" }));
  // All that a stranger sees; what is not in this folder must not be looked for in the others.
  app.use("/pair", express.static(join(pageDir, "pair"), fresh), (_request, response) => {
    response.status(404).type("text").send("Nothing is here. If the page is missing, build it: npm run build");
  });
  app.use(express.static(pageDir, fresh));
  app.use((_request, response) => {
    response.status(404).type("text").send("Nothing is here. If the dashboard is missing, build it: npm run build");
  });
  return app;
}
