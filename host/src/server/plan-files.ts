import { link, readFile, writeFile } from "node:fs/promises";

/** Gives a file a second name, unless something has that name already. */
export async function linked(from: string, to: string): Promise<boolean> {
  try {
    await link(from, to);
    return true;
  } catch (error) {
    if (error instanceof Error && "code" in error && error.code === "EEXIST") return false;
    // Some disks know no second names; writing without overwriting is what is left.
    return writeFile(to, await readFile(from), { flag: "wx" }).then(
      () => true,
      (failed: unknown) => {
        if (failed instanceof Error && "code" in failed && failed.code === "EEXIST") return false;
        throw failed;
      },
    );
  }
}

/** File names for a plan, one after the other: `bay-2.json`, `bay-2-2.json` … Letters, digits and hyphens alone. */
export function fileNames(planName: string, taken: (file: string) => boolean): () => string {
  const slug =
    planName
      .toLowerCase()
      .replaceAll(/[^a-z0-9]+/g, "-")
      .replaceAll(/^-|-$/g, "")
      .slice(0, 60) || "plan";
  let count = 0;
  return () => {
    let file: string;
    do {
      count += 1;
      file = count === 1 ? `${slug}.json` : `${slug}-${count}.json`;
    } while (taken(file));
    return file;
  };
}
