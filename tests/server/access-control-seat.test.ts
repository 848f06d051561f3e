import { Attendance } from "@pinwalk/host/server/access/attendance.js";
import { ControlSeat } from "@pinwalk/host/server/access/control-seat.js";
import { PeopleDesk } from "@pinwalk/host/server/access/people-desk.js";
import { afterEach, beforeEach, expect, test, vi } from "vitest";

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

function seatFor() {
  const attendance = new Attendance();
  const onLost = vi.fn();
  const seat = new ControlSeat({
    attendance,
    graceMs: 2000,
    goneMs: 10_000,
    onLost,
    onHandedOver: () => undefined,
    onChanged: () => undefined,
  });
  const come = (id: string) => {
    const leave = attendance.enter(id);
    seat.came(id);
    return () => {
      leave();
      seat.left(id);
    };
  };
  return { seat, come, onLost };
}

test("a lost controller is missed only after the grace, once", () => {
  const { come, onLost } = seatFor();
  const leave = come("ann");
  const leaveToo = come("ann");
  leave();
  vi.advanceTimersByTime(10_000);
  expect(onLost).not.toHaveBeenCalled();
  leaveToo();
  leaveToo();
  vi.advanceTimersByTime(1999);
  expect(onLost).not.toHaveBeenCalled();
  vi.advanceTimersByTime(10_000);
  expect(onLost).toHaveBeenCalledTimes(1);
});

test("a page that is loaded again within the grace was never missed", () => {
  const { come, onLost } = seatFor();
  come("ann")();
  vi.advanceTimersByTime(1500);
  come("ann");
  vi.advanceTimersByTime(10_000);
  expect(onLost).not.toHaveBeenCalled();
});

test("the first who comes controls; a second gets it only when it is handed over", () => {
  const { seat, come } = seatFor();
  come("ann");
  come("bob");
  expect(seat.holderId).toBe("ann");
  expect(seat.take("bob")).toBe(false);
  seat.ask("bob");
  expect([seat.holderId, seat.askedById]).toEqual(["ann", "bob"]);
  seat.refuse();
  expect([seat.holderId, seat.askedById]).toEqual(["ann", null]);
  seat.ask("bob");
  seat.give("bob");
  expect([seat.holderId, seat.askedById]).toEqual(["bob", null]);
  expect(seat.take("ann")).toBe(false);
});

test("control is free for another only when its holder has been gone for a while", () => {
  const { seat, come } = seatFor();
  const leave = come("ann");
  come("bob");
  leave();
  vi.advanceTimersByTime(9999);
  expect(seat.take("bob")).toBe(false);
  vi.advanceTimersByTime(1);
  expect(seat.free).toBe(true);
  expect(seat.take("bob")).toBe(true);
  come("ann");
  expect(seat.holderId).toBe("bob");
});

test("whoever asked and went away is not waited for", () => {
  const { seat, come } = seatFor();
  come("ann");
  const leave = come("bob");
  seat.ask("bob");
  leave();
  expect(seat.askedById).toBeNull();
});

test("a controller who was sent away is lost at once", () => {
  const { seat, come, onLost } = seatFor();
  come("ann");
  seat.dismiss("ann");
  expect(onLost).toHaveBeenCalledTimes(1);
  expect([seat.holderId, seat.free]).toEqual([null, true]);
});

test("a request that only looks takes no free seat, one that does something takes it", () => {
  const nothing = () => undefined;
  const options = {
    addresses: [],
    graceMs: 0,
    goneMs: 0,
    onControllerLost: nothing,
    onHandedOver: nothing,
    onChanged: nothing,
  };
  const people = new PeopleDesk({ ...options, onEnded: nothing });
  const ann = { id: "ann", name: "Ann", role: "control", atComputer: false } as const;
  const bob = { ...ann, id: "bob" };
  people.enter({ ...ann, role: "watch" });
  expect([people.refusal(ann, "seat", true), people.controls("ann")]).toEqual([null, false]);
  expect([people.refusal(ann, "seat"), people.controls("ann")]).toEqual([null, true]);
  expect(people.refusal(bob, "seat", true)).toMatchObject({ code: "not-in-control" });
  people.close();
});

test("pages that go when everything ends miss nobody any more", () => {
  const { seat, come, onLost } = seatFor();
  const leave = come("ann");
  seat.close();
  leave();
  vi.advanceTimersByTime(60_000);
  expect(onLost).not.toHaveBeenCalled();
  expect(vi.getTimerCount()).toBe(0);
});
