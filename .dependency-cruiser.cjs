/** The arrows of the house: which folder may import which. One row a folder, everything else is refused. */
const host = "^host/src";
const wire = "^firmware-protocol";
const mayImport = {
  circuit: ["circuit"],
  plan: ["plan", "circuit"],
  readings: ["readings"],
  diagnosis: ["diagnosis", "plan", "circuit", "readings"],
  procedures: ["procedures", "bench", "plan", "readings", "diagnosis", "circuit"],
  records: ["records", "plan", "readings", "diagnosis"],
  server: ["server", "procedures", "records", "bench", "plan", "diagnosis", "readings"],
};

const folderRules = Object.entries(mayImport).map(([folder, allowed]) => ({
  name: `${folder}-imports`,
  comment: `host/src/${folder} may import ${allowed.join(", ")} of the host`,
  severity: "error",
  from: { path: `${host}/${folder}/` },
  to: { path: `${host}/`, pathNot: allowed.map((name) => `${host}/${name}/`) },
}));

module.exports = {
  forbidden: [
    ...folderRules,
    {
      name: "bench-imports",
      comment: "the link with a bench knows the wire contract and nothing of plans",
      severity: "error",
      from: { path: `${host}/bench/`, pathNot: `${host}/bench/virtual/` },
      to: { path: `${host}/`, pathNot: `${host}/bench/(?!virtual/)` },
    },
    {
      name: "virtual-bench-imports",
      comment: "the emulated bench is wired to a vehicle that is built from a plan",
      severity: "error",
      from: { path: `${host}/bench/virtual/` },
      to: { path: `${host}/`, pathNot: [`${host}/bench/`, `${host}/circuit/`, `${host}/plan/`] },
    },
    {
      name: "wire-only-for-bench",
      comment: "only the bench link and the command line speak the wire",
      severity: "error",
      from: { path: `${host}/(circuit|plan|readings|diagnosis|records)/` },
      to: { path: wire },
    },
    {
      name: "pure-folders",
      comment: "circuit, plan, readings and diagnosis do no input or output",
      severity: "error",
      from: { path: `${host}/(circuit|plan|readings|diagnosis)/` },
      to: { dependencyTypes: ["core"] },
    },
    {
      name: "contract-imports-nothing",
      severity: "error",
      from: { path: wire },
      to: { path: ["^host", "^dashboard"] },
    },
    {
      name: "dashboard-takes-types-only",
      comment: "every number in the browser was computed in the host",
      severity: "error",
      from: { path: "^dashboard/src" },
      to: { path: ["^host", wire], dependencyTypesNot: ["type-only"] },
    },
    { name: "host-not-dashboard", severity: "error", from: { path: host }, to: { path: "^dashboard" } },
    { name: "no-cycles", severity: "error", from: {}, to: { circular: true } },
    {
      name: "no-orphans",
      comment:
        "a file that nothing imports is dead; those of the contract are all entry points for the host, and two of the dashboard's are pages and workers of their own",
      severity: "error",
      from: {
        orphan: true,
        path: ["^host/src", "^dashboard/src"],
        pathNot: ["\\.d\\.ts$", "^dashboard/src/(shell-worker|pairing)/"],
      },
      to: {},
    },
    { name: "resolvable", severity: "error", from: {}, to: { couldNotResolve: true } },
  ],
  options: {
    doNotFollow: { path: "node_modules" },
    exclude: { path: ["/dist/", "\\.css$"] },
    tsPreCompilationDeps: true,
    tsConfig: { fileName: "tsconfig.base.json" },
    enhancedResolveOptions: { exportsFields: ["exports"], conditionNames: ["import", "types", "default"] },
  },
};
