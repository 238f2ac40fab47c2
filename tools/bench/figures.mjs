export const percentile = (values, p) => {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(p * sorted.length))];
};
export const median = (values) => percentile(values, 0.5);

const shown = (value) => (value >= 100 ? value.toFixed(0) : value >= 1 ? value.toFixed(2) : value.toFixed(3));

/** Rows with a ratio and its limit fail the command when missed; absolute figures are reported beside their goals. */
export const report = (rows) => {
  let missed = 0;
  for (const { what, ratio, most, least, value, unit, goal } of rows) {
    const failed = ratio !== undefined && ((most !== undefined && ratio > most) || (least !== undefined && ratio < least));
    if (failed) missed++;
    const figure = ratio === undefined ? `${shown(value)} ${unit}` : `${shown(ratio)} times`;
    const aim = ratio === undefined ? (goal === undefined ? '' : `goal ${goal} ${unit}`) : most !== undefined ? `at most ${most}` : `at least ${least}`;
    console.log(`${failed ? 'MISSED ' : '       '}${what.padEnd(68)} ${figure.padStart(14)}   ${aim}`);
  }
  return missed;
};
