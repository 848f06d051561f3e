/** Insulation colours as they look on the bench; the name always stands beside them. */
const shades: Readonly<Record<string, string>> = {
  white: "#f6f6f1",
  black: "#1c1d1e",
  grey: "#8b9094",
  gray: "#8b9094",
  brown: "#7a4a24",
  red: "#c9252b",
  orange: "#ee7a12",
  yellow: "#f4cd12",
  green: "#1f8a3b",
  blue: "#1f5fc4",
  purple: "#7b3fa6",
  violet: "#7b3fa6",
  pink: "#ec8fb0",
  tan: "#cfae7c",
};

/** The shades of a colour name, base first; empty for a name that is not known. Of `black or red` the first. */
export function wireShades(colour: string): readonly string[] {
  return (colour.toLowerCase().split(" or ")[0] ?? "")
    .split(/[/ -]/)
    .map((part) => shades[part])
    .filter((shade) => shade !== undefined);
}
