import type { BenchPort } from "./port.js";

/**
 * The same port with some of its methods replaced. Whatever else it can do, as the virtual bench can, it still does: a class
 * around it would hide that.
 */
export function portWith<Port extends BenchPort>(port: Port, replaced: Partial<BenchPort>): Port {
  return new Proxy(port, {
    get: (target, name): unknown => {
      if (Object.hasOwn(replaced, name)) return Reflect.get(replaced, name);
      const own: unknown = Reflect.get(target, name, target);
      return typeof own === "function" ? own.bind(target) : own;
    },
  });
}
