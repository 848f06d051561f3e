import { type ReplyFields, timing } from "@pinwalk/firmware-protocol/generated/protocol.js";
import { BenchError, isBenchError } from "./bench-error.js";
import type { BenchIdentity } from "./bench-identity.js";
import { identityOf } from "./bench-identity.js";
import type { BenchLink } from "./bench-link.js";

/** Slow limit and supply window; what is absent keeps the bench's own default. */
export interface BenchLimits {
  readonly tripAmps?: number;
  readonly tripMs?: number;
  readonly supplyMinVolts?: number;
  readonly supplyMaxVolts?: number;
  readonly coolMs?: number;
}

/** Channel roles as masks: bit 0 is channel 0. */
export interface BenchRoles {
  readonly used: number;
  readonly senseOnly: number;
  readonly ground: number;
}

/** A board that resets when its port is opened spends up to two seconds in its boot loader before it hears anything. */
const helloTimeoutMs = 300;
const helloAttempts = 10;

/** Asks who is there, as often as a board needs to start. Throws `no-answer` or `other-protocol`. */
export async function greet(link: BenchLink, attempts = helloAttempts): Promise<BenchIdentity> {
  return identityOf(await link.request("hello", {}, { timeoutMs: helloTimeoutMs, attempts }));
}

/** Restarts the bench and waits until it answers again. Limits, roles and measurements are gone then. */
export async function restart(link: BenchLink): Promise<BenchIdentity> {
  try {
    await link.request("restart", {});
  } catch (error) {
    // Its greeting may overtake the reply, and either line may get lost; the question after it decides.
    if (!isBenchError(error, "bench-reset") && !isBenchError(error, "no-answer")) throw error;
  }
  return await greet(link);
}

/**
 * Puts limits, roles and whether the far side is looked at in force, and checks that the bench says so. Restarts it if marks of another
 * job still stick.
 */
export async function putInForce(link: BenchLink, limits: BenchLimits, roles: BenchRoles, far: boolean): Promise<void> {
  await setLimits(link, limits);
  await setFar(link, far);
  if (sameRoles(await link.request("roles", roles), roles)) return;
  await restart(link);
  await setLimits(link, limits);
  await setFar(link, far);
  const inForce = await link.request("roles", roles);
  if (!sameRoles(inForce, roles)) {
    throw new BenchError({
      code: "not-taken",
      what: "roles",
      asked: JSON.stringify(roles),
      inForce: JSON.stringify(inForce),
    });
  }
}

async function setLimits(link: BenchLink, limits: BenchLimits): Promise<void> {
  const asked = {
    trip: Math.round((limits.tripAmps ?? timing.slowTripMilliamps / 1000) * 1000),
    tripTime: Math.round(limits.tripMs ?? timing.slowTripMs),
    supplyMin: Math.round((limits.supplyMinVolts ?? timing.supplyMinMillivolts / 1000) * 1000),
    supplyMax: Math.round((limits.supplyMaxVolts ?? timing.supplyMaxMillivolts / 1000) * 1000),
    cool: Math.round(limits.coolMs ?? timing.coolMs),
  };
  const inForce: ReplyFields["limits"] = await link.request("limits", asked);
  const names = ["trip", "tripTime", "supplyMin", "supplyMax", "cool"] as const;
  if (names.some((name) => inForce[name] !== asked[name])) {
    throw new BenchError({
      code: "not-taken",
      what: "limits",
      asked: JSON.stringify(asked),
      inForce: JSON.stringify(inForce),
    });
  }
}

async function setFar(link: BenchLink, far: boolean): Promise<void> {
  const asked = { look: far ? 1 : 0 };
  const inForce = await link.request("far", asked);
  if (inForce.look === asked.look) return;
  throw new BenchError({
    code: "not-taken",
    what: "far",
    asked: JSON.stringify(asked),
    inForce: JSON.stringify(inForce),
  });
}

function sameRoles(inForce: ReplyFields["roles"], asked: BenchRoles): boolean {
  return inForce.used === asked.used && inForce.senseOnly === asked.senseOnly && inForce.ground === asked.ground;
}
