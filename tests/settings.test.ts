import { describe, expect, test } from 'vitest';
import { readSettings } from '../src/settings.ts';

const problem = (environment: Record<string, string>): string => {
  const read = readSettings(environment);
  return read.ok ? '' : read.problem;
};

describe('settings', () => {
  test('nothing set is enough', () => {
    expect(readSettings({})).toEqual({ ok: true, settings: { dataDir: 'data', logLevel: 'warn' } });
  });
  test('a rehearsal clock is refused on the real platform and allowed on a loopback address', () => {
    expect(problem({ DISCORD_TOKEN: 'x', REHEARSAL_CLOCK: '2027-03-27T15:00:00Z/600' })).toContain('REHEARSAL_CLOCK cannot be used on the real platform');
    expect(problem({ DISCORD_TOKEN: 'x', DISCORD_API_URL: 'https://example.org/api', REHEARSAL_CLOCK: '2027-03-27T15:00:00Z' })).toContain('real platform');
    expect(problem({ DISCORD_TOKEN: 'x', DISCORD_API_URL: 'http://127.0.0.1:4000/api', REHEARSAL_CLOCK: '2027-03-27T15:00:00Z/600' })).toBe('');
  });
  test('every problem is told at once, with the cure', () => {
    const text = problem({ DATABASE_URL: 'mysql://x', REHEARSAL_CLOCK: 'soon', LOG_LEVEL: 'loud', DISCORD_TOKN: 'x' });
    expect(text.split('\n')).toHaveLength(5);
    expect(text).toContain('DATABASE_URL must start with postgres://');
    expect(text).toContain('DISCORD_TOKN is not a setting');
  });
  test('a clock that does not exist is refused', () => {
    expect(problem({ REHEARSAL_CLOCK: '2027-13-45T99:00:00Z' })).toContain('REHEARSAL_CLOCK');
  });
});
