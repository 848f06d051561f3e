import type { Problem } from "@pinwalk/host/server/contract.js";

/** What is wrong with a document, each with its place in the file. */
export function ProblemList({ problems }: { problems: readonly Problem[] }) {
  return (
    <ul>
      {problems.map((problem) => (
        <li key={`${problem.path} ${problem.message}`}>
          {problem.path && <code>{problem.path}</code>} {problem.message}
        </li>
      ))}
    </ul>
  );
}
