import { Option } from "commander";
import { defaultLibrary, type PartsLibrary } from "../plan/parts/parts-library.js";
import { withShopParts } from "../plan/parts/shop-parts.js";
import { wrongUse } from "./command-failure.js";
import { readJsonFile } from "./json-file.js";
import { problemList } from "./problem-list.js";

/** `--parts FILE`, the same on every command that reads a plan. */
export function partsOption(): Option {
  return new Option(
    "--parts <FILE>",
    "the shop's own bulbs, wires and diodes (JSON, `pinwalk-parts/1`), added to the library",
  );
}

/**
 * The parts that plans may name: the library, with the shop's own file on top where one is given. Throws a wrong-use
 * failure that lists every place of the file that has to be mended.
 */
export async function readPartsFile(path: string | undefined): Promise<PartsLibrary> {
  if (path === undefined) return defaultLibrary;
  const read = withShopParts(await readJsonFile(path, "parts file"));
  if (read.ok) return read.library;
  throw wrongUse(problemList(path, "parts file", read.problems));
}
