import { describe, expect, test } from 'vitest';
import { readCatalogue } from '../../../src/faults/catalogue-read.ts';
import { ageAnswers, type LastTimes } from '../../../src/faults/known-ages.ts';

const NOW = Date.UTC(2027, 2, 9);
const ago = (days: number): number => NOW - days * 86_400_000;
const NEVER: LastTimes = { backflush: null, screens: null, filter: null, filterOver: false, visit: null };
const said = (times: Partial<LastTimes>): readonly string[] => ageAnswers({ ...NEVER, ...times }, NOW).map(({ question, answer }) => `${question} ${answer}`);

describe('how long ago something was done, as the questions say it', () => {
  test.each([
    [{ backflush: ago(0) }, ['backflush-age week']],
    [{ backflush: ago(7) }, ['backflush-age week']],
    [{ backflush: ago(8) }, ['backflush-age longer']],
    [{ screens: ago(6) }, ['screen-cleaned week']],
    [{ screens: ago(20) }, ['screen-cleaned month']],
    [{ screens: ago(40) }, ['screen-cleaned longer']],
    [{ filter: ago(3) }, ['filter-age days']],
    [{ filter: ago(200) }, ['filter-age in-date']],
    [{ filter: ago(200), filterOver: true }, ['filter-age over']],
    [{ visit: ago(30) }, ['service-age recent']],
    [{ visit: ago(300) }, ['service-age year']],
    [{ visit: ago(700) }, ['service-age longer']],
  ])('%o', (times, answers) => {
    expect(said(times)).toEqual(answers);
  });

  test('what is not on record is asked, and so is what has not been ticked for so long that the record itself has stopped', () => {
    expect(said({})).toEqual([]);
    expect(said({ backflush: ago(61), screens: ago(121) })).toEqual([]);
  });

  test('every answer is one its question has, and none of them is a danger', () => {
    const { questions } = readCatalogue('config/faults');
    const all = [0, 8, 30, 100, 400].flatMap((days) => [false, true].flatMap((filterOver) => ageAnswers({ backflush: ago(days), screens: ago(days), filter: ago(days), filterOver, visit: ago(days) }, NOW)));
    const known = all.map(({ question, answer }) => questions.find(({ id }) => id === question)?.answers.find(({ id }) => id === answer));
    expect(known).not.toContain(undefined);
    expect(known.every((each) => each?.danger === undefined)).toBe(true);
  });
});
