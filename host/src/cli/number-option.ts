import { InvalidArgumentError } from "commander";

/** Reads an option's number and holds it between two limits; commander prints the message with the option's name. */
export function numberOption(unit: string, least: number, most: number): (text: string) => number {
  return (text) => {
    const value = Number(text);
    if (text.trim() === "" || !Number.isFinite(value))
      throw new InvalidArgumentError(`Give a number: ${least} to ${most} ${unit}.`);
    if (value < least || value > most) throw new InvalidArgumentError(`Give ${least} to ${most} ${unit}.`);
    return value;
  };
}

/** The same for a whole number. */
export function wholeNumberOption(what: string, least: number, most: number): (text: string) => number {
  const read = numberOption(what, least, most);
  return (text) => {
    const value = read(text);
    if (!Number.isInteger(value)) throw new InvalidArgumentError(`Give a whole number: ${least} to ${most} (${what}).`);
    return value;
  };
}
