import express, { type ErrorRequestHandler, type Response, Router } from "express";
import { type CodeView, codeRequestSchema, pairRequestSchema } from "./access-contract.js";
import type { Redeemed } from "./pairing-codes.js";
import { pairingPlace } from "./pairing-qr.js";
import { noPassCookie, passCookie } from "./pass-cookie.js";
import { plainAddress } from "./peer-address.js";
import type { PeopleDesk } from "./people-desk.js";
import { WrongTries } from "./wrong-tries.js";

/** Codes, pairing and leaving, under `/access`. Who may ask for what stands in `needs.ts`. */
export function accessRoutes(people: PeopleDesk): Router {
  const router = Router();
  const tries = new WrongTries();
  router.use((_request, response, next) => {
    response.set("Cache-Control", "no-store");
    next();
  });
  router.use(express.json({ limit: 1024 }));

  router.post("/pair", (request, response) => {
    const address = plainAddress(request.socket.remoteAddress ?? "");
    const wait = tries.waitMs(address);
    if (wait > 0) {
      const seconds = Math.ceil(wait / 1000);
      response.set("Retry-After", String(seconds));
      return refuse(response, 429, "locked-out", `Too many wrong codes. Wait ${seconds} seconds, then try again.`);
    }
    const read = pairRequestSchema.safeParse(request.body);
    if (!read.success) return refuse(response, 400, "bad-request", "A code has eight digits.");
    const redeemed = people.codes.redeem(read.data.code);
    if (redeemed.kind !== "paired") {
      tries.note(address);
      return refuse(response, 403, redeemed.kind === "wrong" ? "wrong-code" : "no-code", wrongWords(redeemed));
    }
    tries.forget(address);
    // Whoever is paired anew is the same browser with another role.
    const before = people.personOf(request);
    if (before && !before.atComputer) people.end(before.id);
    const { name, role, handOver } = redeemed.offer;
    const paired = people.pair(name, role, address, handOver);
    if (!paired)
      return refuse(response, 409, "too-many", "Too many browsers are paired. End one at the computer first.");
    response.set("Set-Cookie", passCookie(paired.secret)).json({ name: paired.person.name, role });
  });

  router.get("/me", (request, response) => {
    const person = people.personOf(request);
    response.json(person && people.you(person));
  });

  router.post("/leave", (request, response) => {
    const person = people.personOf(request);
    if (person && !person.atComputer) people.end(person.id);
    response.set("Set-Cookie", noPassCookie).json({});
  });

  router.post("/codes", (request, response) => {
    if (people.addresses.length === 0)
      return refuse(
        response,
        409,
        "not-on-lan",
        "Pinwalk answers on this computer alone. Start it with --lan to let phones in.",
      );
    const read = codeRequestSchema.safeParse(request.body);
    if (!read.success) return refuse(response, 400, "bad-request", "Give the phone a name of at most 40 characters.");
    const { code, lastsMs } = people.codes.make(read.data);
    const view: CodeView = { code, lastsMs, places: people.addresses.map((address) => pairingPlace(address, code)) };
    response.status(201).json(view);
  });

  router.post("/codes/cancel", (_request, response) => {
    people.codes.cancel();
    response.json({});
  });

  router.use(badBody);
  return router;
}

function refuse(response: Response, status: number, code: string, message: string): void {
  response.status(status).json({ code, message });
}

function wrongWords(redeemed: Exclude<Redeemed, { kind: "paired" }>): string {
  if (redeemed.kind === "wrong") return "That is not the code. Look again at the computer at the bench.";
  switch (redeemed.because) {
    case "used":
      return "That code has been used. Make a new one at the computer at the bench.";
    case "expired":
      return "That code is too old. Make a new one at the computer at the bench.";
    case "guessed":
      return "That code is void: too many wrong ones were tried. Make a new one at the computer at the bench.";
    case "none":
      return "No code is open. Make one at the computer at the bench, on the page People.";
  }
}

const badBody: ErrorRequestHandler = (error: unknown, _request, response, next) => {
  const { status } = error as { readonly status?: unknown };
  if (response.headersSent || typeof status !== "number" || status < 400 || status > 499) return next(error);
  refuse(response, status, "bad-request", "The request has not the right form.");
};
