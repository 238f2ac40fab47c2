import { describe, expect, test } from 'vitest';
import { hardnessIn } from '../../src/water/hardness-words.ts';

describe('hardness as people write it', () => {
  // mg CaCO3 a litre by the definitions of the units: 10 mg CaO, 10 mg CaCO3, one grain an imperial gallon, one grain a US gallon.
  test.each([
    ['12 dH', 214.2], ['12°dH', 214.2], ['7,5 °dKH', 133.9], ['20 fH', 200], ['20 °f', 200], ['210 ppm', 210], ['210 mg/l', 210], ['1.5 mmol/L', 150.1], ['10 gpg', 171.2], ['14 clark', 199.6],
  ])('"%s"', (text, milligrams) => {
    expect(hardnessIn(text)).toBeCloseTo(milligrams, 0);
  });

  test.each(['12', 'hard', '', '-3 dH', '12 litres', '9000 ppm', '12 dH or 20'])('"%s" is not guessed at', (text) => {
    expect(hardnessIn(text)).toBeUndefined();
  });
});
