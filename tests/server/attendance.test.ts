import { Attendance } from "@pinwalk/host/server/attendance.js";
import { afterEach, beforeEach, expect, test, vi } from "vitest";

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

test("nobody is missed only after the grace, once", () => {
  const onNobody = vi.fn();
  const attendance = new Attendance(2000, onNobody);
  const leave = attendance.enter();
  const leaveToo = attendance.enter();
  leave();
  vi.advanceTimersByTime(10_000);
  expect(onNobody).not.toHaveBeenCalled();
  leaveToo();
  leaveToo();
  vi.advanceTimersByTime(1999);
  expect(onNobody).not.toHaveBeenCalled();
  vi.advanceTimersByTime(10_000);
  expect(onNobody).toHaveBeenCalledTimes(1);
});

test("a page that is loaded again within the grace was never missed", () => {
  const onNobody = vi.fn();
  const attendance = new Attendance(2000, onNobody);
  attendance.enter()();
  vi.advanceTimersByTime(1500);
  attendance.enter();
  vi.advanceTimersByTime(10_000);
  expect(onNobody).not.toHaveBeenCalled();
});
