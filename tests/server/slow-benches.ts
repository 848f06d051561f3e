import { openVirtualBench } from "@pinwalk/host/bench/virtual/virtual-bench.js";
import { machineWithPorts } from "./bench-on-a-port.js";

/** Benches in real time, so that there is something to look at, and to stop. */
export function slowBenches(): ReturnType<typeof machineWithPorts> {
  return {
    ...machineWithPorts(),
    open: (_bench, vehicle) => openVirtualBench({ ...vehicle, pace: "real" }),
  };
}

/** Quick while it walks, in real time afterwards, so that what a person keeps on lasts its ten seconds. */
export function slowOnceWalked(): ReturnType<typeof machineWithPorts> {
  let walked = false;
  const open: ReturnType<typeof machineWithPorts>["open"] = (...asked) => {
    const { open: next } = walked ? slowBenches() : machineWithPorts();
    walked = true;
    return next(...asked);
  };
  return { ...machineWithPorts(), open };
}
