import { execFileSync } from 'node:child_process';

let built = false;

/** Builds dist/, once, for tests that start the program as people do. */
export const build = (): void => {
  if (built) return;
  execFileSync(process.execPath, ['node_modules/typescript/bin/tsc', '-p', 'tsconfig.build.json'], { stdio: 'inherit' });
  built = true;
};
