/** Stack need of AVR functions, read off a disassembly (avr-objdump -d). Sizes in bytes. */

const RETURN_ADDRESS = 2;
const HEAD = /^([0-9a-f]{8}) <([^>]+)>:$/;
const INSTRUCTION = /^\s+([0-9a-f]+):\t[0-9a-f ]+\t(\S+)\s*([^;]*)/;
/** A switch through a table jumps inside its own function. */
const JUMPS_INSIDE = "__tablejump2__";

/**
 * All functions: `{name, frame, calls, indirect}`. `frame` is what it pushes and reserves, `calls` the functions it may
 * go to by name (a jump out of it, the compiler's tail call, too), `indirect` whether it calls through a pointer.
 */
export function functionsIn(disassembly) {
  const functions = [];
  let current;
  for (const line of disassembly.split("\n")) {
    const head = HEAD.exec(line);
    if (head) {
      const address = Number.parseInt(head[1], 16);
      current = { address, name: head[2], frame: 0, targets: [], indirect: false, calls: [], framePointerRead: false };
      functions.push(current);
    } else if (current) {
      const instruction = INSTRUCTION.exec(line);
      if (instruction) take(current, Number.parseInt(instruction[1], 16), instruction[2], instruction[3].trim());
    }
  }
  const ownerOf = (address) => functions.findLast((one) => one.address <= address);
  for (const one of functions) {
    const owners = one.targets.map(ownerOf).filter((owner) => owner !== undefined && owner !== one);
    one.calls = [...new Set(owners)];
  }
  return functions;
}

function take(current, address, mnemonic, operands) {
  const [first, second = ""] = operands.split(",").map((operand) => operand.trim());
  const relative = () => current.targets.push(address + 2 + Number(operands.slice(1)));
  switch (mnemonic) {
    case "push":
      current.frame += 1;
      break;
    case "in":
      // Reading the stack pointer into Y opens a frame; what is taken off Y next is its size.
      current.framePointerRead = first === "r28" || first === "r29";
      return;
    case "sbiw":
    case "subi":
      if (current.framePointerRead && first === "r28") current.frame += Number(second);
      if (mnemonic === "subi") return;
      break;
    case "sbci":
      if (current.framePointerRead && first === "r29") current.frame += Number(second) << 8;
      break;
    case "icall":
    case "ijmp":
      current.indirect = current.name !== JUMPS_INSIDE;
      break;
    case "rcall":
      // `rcall .+0` reserves two bytes and calls nothing.
      if (operands === ".+0") current.frame += 2;
      else relative();
      break;
    case "rjmp":
      relative();
      break;
    case "call":
    case "jmp":
      current.targets.push(Number(operands));
      break;
  }
  current.framePointerRead = false;
}

/**
 * The deepest way down from the functions that `isRoot` picks: `{bytes, path}`. `pointers` says what a call through a pointer
 * may reach: name of the caller → name of the functions. Throws for a pointer that it does not know and for a circle: either
 * would make the figure worthless.
 */
export function deepestPath(functions, pointers, isRoot) {
  const known = new Map();
  const callees = (one) => {
    if (!one.indirect) return one.calls;
    const behind = functions.filter(({ name }) => name === pointers[one.name]);
    if (behind.length === 0) throw new Error(`${one.name} calls through a pointer that is not in the table`);
    return [...one.calls, ...behind];
  };
  const down = (one, trail) => {
    const before = known.get(one);
    if (before) return before;
    if (trail.includes(one)) throw new Error(`a circle: ${[...trail, one].map(({ name }) => name).join(" > ")}`);
    const below = deepest(callees(one).map((callee) => down(callee, [...trail, one])));
    const found = { bytes: RETURN_ADDRESS + one.frame + below.bytes, path: [one.name, ...below.path] };
    known.set(one, found);
    return found;
  };
  return deepest(functions.filter(isRoot).map((root) => down(root, [])));
}

function deepest(paths) {
  return paths.reduce((best, path) => (path.bytes > best.bytes ? path : best), { bytes: 0, path: [] });
}
