import { createReadStream, createWriteStream } from "node:fs";

/** Something on the far end of a line that answers each line it hears with what a test says, or with nothing. */
export function openPtyPeer(path: string, answer: (line: string) => string | undefined): { close(): void } {
  const input = createReadStream(path);
  const output = createWriteStream(path, { flags: "r+" });
  // An end that is closed by the other side first is no event of a test.
  input.on("error", () => undefined);
  output.on("error", () => undefined);
  let begun = "";
  input.on("data", (chunk) => {
    const lines = (begun + chunk.toString("latin1")).split("\n");
    begun = lines.pop() ?? "";
    for (const line of lines) {
      const said = answer(line);
      if (said !== undefined) output.write(said, "latin1");
    }
  });
  return {
    close: () => {
      input.destroy();
      output.destroy();
    },
  };
}
