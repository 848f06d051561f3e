import { freshReadings, freshSlopes } from "./fresh-readings.mjs";

/**
 * How far two explanations' readings lie apart, in standard deviations of the bench's noise and of what scatters from part to
 * part together. Either of the two may be the one whose parts scatter; the smaller distance stands.
 */
function readingsApart(plan, readings, first, second) {
  const one = first.readings ?? freshReadings(plan, readings, first.faults);
  const other = second.readings ?? freshReadings(plan, readings, second.faults);
  first.readings = one;
  second.readings = other;
  const apart = one.map((row, at) => other[at].value - row.value);
  const noiseOnly = Math.sqrt(one.reduce((sum, row, at) => sum + (apart[at] / row.sigma) ** 2, 0));
  if (noiseOnly < tooNear) return noiseOnly;
  return Math.min(
    ...[first, second].map((mine) => {
      mine.slopes ??= freshSlopes(plan, readings, mine.faults);
      return fitted(apart, mine.readings, mine.slopes);
    }),
  );
}

/** Nearer than this, fitting scatter too can only bring the two nearer still. */
const tooNear = 0.5;

/** What is left of a difference once the likeliest scatter is taken out of it, the scatter's own cost included. */
function fitted(apart, rows, slopes) {
  const size = slopes.length;
  const matrix = slopes.map((_, i) => Float64Array.from({ length: size }, (_, j) => (i === j ? 1 : 0)));
  const right = new Float64Array(size);
  rows.forEach(({ sigma }, row) => {
    const moving = slopes.flatMap((column, i) => (Math.abs(column[row]) > 1e-9 ? [i] : []));
    for (const i of moving) {
      right[i] += (slopes[i][row] * apart[row]) / sigma ** 2;
      for (const j of moving) matrix[i][j] += (slopes[i][row] * slopes[j][row]) / sigma ** 2;
    }
  });
  const scatter = solved(matrix, right);
  const left = rows.reduce((sum, { sigma }, row) => {
    const moved = slopes.reduce((total, column, i) => total + column[row] * scatter[i], 0);
    return sum + ((apart[row] - moved) / sigma) ** 2;
  }, 0);
  return Math.sqrt(left + scatter.reduce((sum, one) => sum + one ** 2, 0));
}

/** Gaussian elimination; the matrix is positive definite. */
function solved(matrix, right) {
  const size = right.length;
  for (let k = 0; k < size; k++) {
    for (let i = k + 1; i < size; i++) {
      const share = matrix[i][k] / matrix[k][k];
      if (share === 0) continue;
      for (let j = k; j < size; j++) matrix[i][j] -= share * matrix[k][j];
      right[i] -= share * right[k];
    }
  }
  for (let k = size - 1; k >= 0; k--) {
    for (let j = k + 1; j < size; j++) right[k] -= matrix[k][j] * right[j];
    right[k] /= matrix[k][k];
  }
  return right;
}

/** What the findings say of a lamp's size is a bulb's name, not the current that was fitted: not to be built again. */
const canBuildAgain = ({ faults }) => faults.every(({ kind }) => kind !== "wrong-lamp");

/**
 * Measures the groups of findings: how far the members of the first group lie from its likeliest, and how near the
 * likeliest of other groups come to it.
 */
export function measureGroups(plan, readings, { explanations }, mostMembers = 40) {
  const again = explanations.filter(canBuildAgain).map(({ faults, group }) => ({ faults, group }));
  const [leader, ...members] = again.filter(({ group }) => group === 1);
  if (leader === undefined || explanations[0]?.group !== 1 || !canBuildAgain(explanations[0]))
    return { within: [], between: [] };
  const leaders = again.filter(({ group }, at) => group > 1 && again.findIndex((one) => one.group === group) === at);
  const distance = (one) => ({ faults: one.faults, apart: readingsApart(plan, readings, leader, one) });
  return { within: members.slice(0, mostMembers).map(distance), between: leaders.slice(0, 4).map(distance) };
}
