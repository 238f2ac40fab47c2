import { describe, expect, test } from 'vitest';
import { channel } from '../../src/chat/who.ts';
import { createReadMarks } from '../../src/discord/read-marks.ts';
import { byAge, idAt, momentOfId } from '../../src/discord/snowflake.ts';
import { instant } from '../../src/time/instant.ts';
import { databases } from '../store/databases.ts';

const bar = channel('1');

describe.each(databases)('how far a place was read, on the $name database', ({ open }) => {
  test('what is heard before the gap was read does not hide the gap', async () => {
    const store = await open();
    const marks = createReadMarks(store);
    marks.goOn();
    marks.note(bar, '10');
    marks.stand();
    marks.note(bar, '30');
    await marks.keep();
    expect([await marks.of(bar), await createReadMarks(store).of(bar)]).toEqual(['10', '10']);
    marks.goOn();
    await marks.keep();
    expect([await marks.of(bar), await createReadMarks(store).of(bar)]).toEqual(['30', '30']);
    await store.close();
  });

  test('a fresh start stands until it has read back, and never goes backwards', async () => {
    const store = await open();
    const marks = createReadMarks(store);
    marks.note(bar, '9');
    await marks.keep();
    expect(await marks.of(bar)).toBeUndefined();
    marks.goOn();
    marks.note(bar, '100');
    marks.note(bar, '20');
    await marks.keep();
    expect(await createReadMarks(store).of(bar)).toBe('100');
    await store.close();
  });
});

describe('ids of the platform', () => {
  /** Worked example of the platform's own page on snowflakes: 175928847299117063 was made at 2016-04-30 11:18:25.796 UTC. */
  test('tell when they were made', () => {
    expect(new Date(momentOfId('175928847299117063')).toISOString()).toBe('2016-04-30T11:18:25.796Z');
    expect(momentOfId(idAt(instant(Date.parse('2016-04-30T11:18:25.796Z'))))).toBe(Date.parse('2016-04-30T11:18:25.796Z'));
  });

  test('are compared as numbers, not as letters', () => {
    expect([byAge('9', '10'), byAge('10', '9'), byAge('175928847299117063', '175928847299117063')]).toEqual([-1, 1, 0]);
  });

  test('an instant before the first id is the smallest id', () => {
    expect(idAt(instant(0))).toBe('0');
  });
});
