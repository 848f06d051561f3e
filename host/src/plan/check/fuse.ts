import { fuseLongTermShare } from "../parts/fuses.js";
import { wireOf } from "../wire-part.js";
import { type InstallContext, placedFeeds } from "./install-context.js";
import { figure, practice, type Remark } from "./remark.js";

const carrySource = "from memory: blade fuse makers' notes, three quarters of the rating for long";

/** A circuit's fuse against its wire and its current; where the plan names none, the one that suits. */
export function fuse(context: InstallContext): Remark[] {
  return context.plan.circuits.flatMap((circuit): Remark[] => {
    const amps = context.amps(`wire:${circuit.pin}`);
    const branches = placedFeeds(context.plan).flatMap(({ circuit: owner, feed }) =>
      owner === circuit && feed.wire !== undefined ? [feed.wire] : [],
    );
    // The thinnest wire behind the fuse is the one that it has to protect.
    const protectedWire = [circuit.wire, ...branches]
      .map((run) => wireOf(run, context.library))
      .reduce((least, wire) => (wire.fuse.amps < least.fuse.amps ? wire : least));
    const most = protectedWire.fuse.amps;
    const least = amps / fuseLongTermShare;
    const where = `wire:${circuit.pin}`;
    const source = protectedWire.fuse.source;
    if (circuit.fuseAmps === undefined) return suggestion(context, circuit.pin, amps, least, most, where);
    const remarks: Remark[] = [];
    if (circuit.fuseAmps > most) {
      const text = `A ${circuit.fuseAmps} A fuse does not protect the thinnest wire of circuit ${circuit.pin}; ${most} A is usual for it.`;
      remarks.push({
        code: "fuse-too-large",
        severity: "problem",
        text,
        value: circuit.fuseAmps,
        limit: most,
        unit: "A",
        source,
        where,
      });
    }
    if (circuit.fuseAmps < least) {
      const text = `A ${circuit.fuseAmps} A fuse is small for the ${figure(amps)} A of circuit ${circuit.pin}; it should be rated ${figure(least)} A or more.`;
      remarks.push({
        code: "fuse-too-small",
        severity: "warning",
        text,
        value: circuit.fuseAmps,
        limit: least,
        unit: "A",
        source: carrySource,
        where,
      });
    }
    return remarks;
  });
}

function suggestion(
  context: InstallContext,
  pin: string,
  amps: number,
  least: number,
  most: number,
  where: string,
): Remark[] {
  if (amps < 1e-3) return [];
  const rating = context.library.fuses.map((one) => one.amps).find((one) => one >= Math.max(least, 3));
  if (rating === undefined || rating > most) {
    const text = `No fuse both carries the ${figure(amps)} A of circuit ${pin} and protects its thinnest wire (${most} A is usual for it).`;
    return [
      {
        code: "no-fuse-suits",
        severity: "problem",
        text,
        value: least,
        limit: most,
        unit: "A",
        source: carrySource,
        where,
      },
    ];
  }
  const text = `Circuit ${pin} carries ${figure(amps)} A; a ${rating} A fuse suits, its thinnest wire allows up to ${most} A.`;
  return [
    { code: "fuse-suits", severity: "note", text, value: rating, limit: most, unit: "A", source: practice, where },
  ];
}
