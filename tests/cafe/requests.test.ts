import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { z } from 'zod';
import { parseRequests, readRequests, REQUESTS, requestReader } from '../../src/cafe/requests.ts';
import { BrokenConfig } from '../../src/words/config-file.ts';

const LANGUAGES = readRequests('config/requests');
const read = requestReader(LANGUAGES);
const kind = (text: string): string | undefined => read(text)?.does;

describe('what is asked for in plain words', () => {
  test.each([
    ["what's due today?", 'today'], ['What is next?', 'today'], ["cosa c'è da fare oggi?", 'today'],
    ['who did the closing yesterday', 'lately'], ['was everything done yesterday?', 'lately'], ['chi ha fatto la chiusura ieri?', 'lately'],
    ['which seal do I order?', 'record'], ['when is the filter due?', 'record'], ['seals', 'record'], ['how often do we change the seal', 'record'], ['quale guarnizione devo ordinare?', 'record'],
    ['when does the technician come?', 'visits'], ['is anyone coming today', 'visits'], ['who comes', 'visits'], ['who is coming tomorrow?', 'visits'], ['chi viene oggi?', 'visits'], ['quando viene il tecnico?', 'visits'],
    ['where is the main switch', 'safety'], ['who do I call in an emergency?', 'safety'], ["dov'è l'interruttore generale?", 'safety'],
    ['too many reminders', 'reminders'], ['remind us at 21:30 instead', 'reminders'], ['troppi promemoria', 'reminders'],
    ['is there anything to do', 'today'], ['anything to do tonight?', 'today'], ["c'è qualcosa da fare?", 'today'],
    ['fewer jobs please', 'jobs'], ['who hears when nobody answers', 'jobs'], ["correct yesterday's list", 'jobs'], ['meno lavori', 'jobs'], ['the machine stays on all night', 'night'], ['la macchina resta accesa di notte', 'night'],
    ['add a second machine', 'machine'], ['change the opening hours', 'hours'],
  ])('%s: %s', (text, expected) => {
    expect(read(text)).toEqual({ does: expected, rest: '' });
  });

  test.each([
    ['we are closed next week', 'closed', 'next week'], ['closed on Friday.', 'closed', 'Friday'], ['we are closed from 24 dec to 2 jan', 'closed', '24 dec to 2 jan'], ['siamo chiusi domani', 'closed', 'domani'],
    ['how often do we brush the seals?', 'job', 'brush the seals'], ['when did we last soak the baskets', 'job', 'soak the baskets'], ['ogni quanto si fa il controlavaggio?', 'job', 'controlavaggio'],
    ['screens every two weeks', 'jobs', 'screens'], ['take the grinder off the list', 'jobs', 'grinder'], ['I want a photo with the backflush', 'jobs', 'backflush'], ['togli il macinino dalla lista', 'jobs', 'macinino'],
    ['we moved to Lisbon', 'moved', 'Lisbon'], ['ci siamo trasferiti a Lisbona', 'moved', 'Lisbona'],
    ['Mia has left', 'people', 'Mia'], ['Marco non lavora più qui', 'people', 'Marco'],
  ])('%s: %s, and "%s" is read by who answers', (text, does, rest) => {
    expect(read(text)).toEqual({ does, rest });
  });

  test.each(['do we need someone', 'we need a technician', 'how do I change the seal', 'is the seal worn', 'the seal is leaking', 'screen blocked on group 2', 'the new machine makes noise', 'done', 'no water today', 'someone is hurt', 'nothing comes out', 'is there anything wrong with group 1', 'which group is leaking', 'the switch is hot'])('%s is none', (text) => {
    expect(read(text)).toBeUndefined();
  });

  test.each([
    ['changed the seal on group 1 today', 'fitted'], ['new seal in group 2, 8.5 mm', 'fitted'], ['which way up does the seal go', 'drawings'], ['screen of group 2 is dented', 'screen'], ['the screen turns', 'screen'], ['I found a shim above the seal', 'shim'],
    ["the ring won't come out", 'stuck'], ['what size is in group 2', 'record'], ['guarnizione cambiata al gruppo 1 oggi', 'fitted'], ["l'anello non esce", 'stuck'], ['da che parte va la guarnizione', 'drawings'], ['la doccetta gira', 'screen'],
  ])('%s: %s', (text, wanted) => {
    expect(kind(text)).toBe(wanted);
  });

  test.each(['changed the seal on group 1 and it still drips', 'new seal and it leaks', 'the screen is blocked', 'the handle is stuck on group 2', "the coffee won't come out", 'seal change made it worse'])('%s stays a complaint', (text) => {
    expect(['fitted', 'stuck', 'screen', 'shim', 'drawings']).not.toContain(kind(text));
  });

  test('no complaint written down for the search is taken for a request', () => {
    const sentences = ['open-sentences', 'open-italian', 'bar-chat'].flatMap((file) => z.array(z.looseObject({ text: z.string() })).parse(JSON.parse(readFileSync(`tests/faults/find/${file}.json`, 'utf8'))));
    expect(sentences.length).toBeGreaterThan(100);
    expect(sentences.filter(({ text }) => read(text)?.rest === '')).toEqual([]);
  });

  test('every kind can be asked for in every language, and each phrase of a language is read by its own file', () => {
    for (const [language, { asks }] of LANGUAGES) expect([...new Set(asks.map(({ does }) => does))].toSorted(), language).toEqual(REQUESTS.toSorted());
    expect(kind('')).toBeUndefined();
  });

  test('a file that cannot be read says where and what', () => {
    expect(() => parseRequests('filler: [a]\nasks: [{ does: coffee, needs: [[x]] }]', 'requests/xx.yaml')).toThrow(BrokenConfig);
    expect(() => parseRequests('filler: [a]\nasks: [{ does: today, needs: [] }]', 'requests/xx.yaml')).toThrow(/requests\/xx\.yaml/);
  });
});
