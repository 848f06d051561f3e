/** Colours of the page by the names of its style sheet, for a canvas that cannot read one. */
export function pageColours<Name extends string>(variables: Readonly<Record<Name, string>>): Record<Name, string> {
  const probe = document.createElement("span");
  document.body.append(probe);
  const read = (variable: string) => {
    probe.style.color = `var(${variable})`;
    return getComputedStyle(probe).color;
  };
  const names = Object.keys(variables) as Name[];
  const colours = Object.fromEntries(names.map((name) => [name, read(variables[name])]));
  probe.remove();
  return colours as Record<Name, string>;
}
