import { describe, expect, test } from 'vitest';
import { groupIn } from '../../../src/seals/record-words.ts';

const sides = { left: 'left', right: 'right' };

describe('the group that words about a seal name', () => {
  test.each([
    ['new seal in group 2, 8.5 mm', 2], ['seal 8 mm in group 1', 1], ['new seal 2 mm in 1', 1], ['the left one', 1], ['right group, new seal', 2], ['changed the seal', undefined], ['new 1.5 shim', undefined], ['left and right', undefined], ['group 5', undefined],
  ])('%s', (text, group) => expect(groupIn(text, [1, 2], sides)).toBe(group));

  test('of one group it is that one', () => expect(groupIn('changed the seal', [1], sides)).toBe(1));
});
