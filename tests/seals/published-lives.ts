import type { Life } from './closed-form.ts';

const lives = (failed: readonly number[], sound: readonly number[]): readonly Life[] => [
  ...failed.map((age) => ({ age, failed: true })),
  ...sound.map((age) => ({ age, failed: false })),
];
const times = (count: number, age: number): readonly number[] => Array.from({ length: count }, () => age);

/** NIST/SEMATECH e-Handbook, section 8.4.1.3 (read in the source): ten failures, ten units sound at 500 hours. */
export const handbook = lives([54, 187, 216, 240, 244, 335, 361, 373, 375, 386], times(10, 500));

/** `ovarian` of the R package survival (read in its repository): days. */
export const ovarian = lives(
  [59, 115, 156, 431, 464, 475, 563, 638, 268, 329, 353, 365],
  [421, 448, 477, 744, 769, 770, 803, 855, 1040, 1106, 1129, 1206, 1227, 377],
);

/** Generator fans, Nelson 1982, as `genfan` of the R package survival (read in its repository): hours. */
export const fans = lives(
  [450, 1150, 1150, 1600, 2070, 2070, 2080, 3100, 3450, 4600, 6100, 8750],
  [
    460, 1560, 1660, ...times(5, 1850), ...times(3, 2030), 2200, ...times(4, 3000), 3200, ...times(2, 3750), ...times(4, 4150),
    ...times(4, 4300), ...times(4, 4850), ...times(3, 5000), ...times(3, 6100), 6300, ...times(2, 6450), 6700, 7450,
    ...times(2, 7800), ...times(2, 8100), 8200, ...times(3, 8500), ...times(2, 8750), 9400, 9900, ...times(3, 10100), 11500,
  ],
);
