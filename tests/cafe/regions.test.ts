import { createRequire } from 'node:module';
import { describe, expect, test } from 'vitest';
import { calendarOf, writeWeek } from '../../src/cafe/calendar.ts';
import { readCountries } from '../../src/cafe/countries.ts';
import { folded } from '../../src/cafe/fold.ts';
import { holidaysIn } from '../../src/cafe/holidays.ts';
import { isOpenOn } from '../../src/cafe/hours.ts';
import { cafesAt } from '../../src/cafe/records.ts';
import { regionIn, regionNames } from '../../src/cafe/regions.ts';
import type { Message } from '../../src/chat/message.ts';
import { transact } from '../../src/store/transact.ts';
import { localDate } from '../../src/time/local-date.ts';
import { createWords, readTexts } from '../../src/words/catalogue.ts';
import { embedded } from '../store/databases.ts';
import { seen } from '../stories/stage.ts';
import { terminalStage } from '../stories/terminal-stage.ts';
import { begin, walkTo } from './walk.ts';
import { BAR, labelsOf, linesOf, openWorld, type World } from './world.ts';

const countries = readCountries('config/countries.yaml');
const words = createWords(readTexts('config/words'));
const withRegions = [...countries].filter(([, { regions }]) => regions.length > 0).map(([code, { regions }]) => ({ code, regions }));

describe('regions', () => {
  type Library = new () => { readonly getStates: (country: string) => Record<string, string> | undefined };
  const States = createRequire(import.meta.url)('date-holidays') as Library;

  test.each(withRegions)('every region of $code is one the library of holidays knows, and every one of its names means it', ({ code, regions }) => {
    const known = Object.keys(new States().getStates(code) ?? {});
    expect(regions.filter((region) => !known.includes(region))).toEqual([]);
    for (const locale of ['en', 'it'])
      for (const region of regions) for (const name of regionNames(words.in(locale))(code, region)) expect([name, regionIn(name, code, countries, regionNames(words.in(locale)))]).toEqual([name, region]);
  });

  test('one letter wrong is heard, something else is not', () => {
    const names = regionNames(words.in('en'));
    expect(['Bavria', 'baverna', 'Saxony', 'By', 'xx', ''].map((text) => regionIn(text, 'DE', countries, names))).toEqual(['BY', undefined, 'SN', 'BY', undefined, undefined]);
    expect(folded('Thüringen')).toBe('thuringen');
  });

  const dates = (country: string, year: number, region?: string): readonly string[] => holidaysIn(country, year, 'en', region ?? null).map(({ date }) => String(date));
  // Corpus Christi is the 60th day after Easter Sunday; Easter Sundays as printed in the tables of the Book of Common Prayer (1662): 28 March 2027, 16 April 2028.
  test('Bavaria keeps Epiphany, Corpus Christi and All Saints (Bavarian law on holidays, article 1), Germany as a whole does not', () => {
    for (const [year, corpusChristi] of [[2027, '2027-05-27'], [2028, '2028-06-15']] as const) {
      const own = [`${year}-01-06`, corpusChristi, `${year}-11-01`];
      expect(dates('DE', year, 'BY')).toEqual(expect.arrayContaining(own));
      for (const date of own) expect(dates('DE', year)).not.toContain(date);
    }
  });
  test('Scotland keeps 2 January and not Easter Monday, England the other way round (Banking and Financial Dealings Act 1971, schedule 1)', () => {
    expect(['2026-01-02', '2026-04-06'].map((date) => dates('GB', 2026, 'SCT').includes(date))).toEqual([true, false]);
    expect(['2026-01-02', '2026-04-06'].map((date) => dates('GB', 2026, 'ENG').includes(date))).toEqual([false, true]);
  });

  test('a café that keeps every holiday is shut on those of its region too', () => {
    const span = [{ from: 480, to: 1200 }];
    const row = { zone: 'Europe/Berlin', hours: writeWeek({ days: [span, span, span, span, span, span, span], holidays: [] }), exceptions: '[]', cleaning_before: 30, quiet: null, rush: null, country: 'DE', holiday_rule: 'week' };
    const open = (region: string | null): boolean => isOpenOn(calendarOf({ ...row, region }) ?? expect.fail(), localDate('2027-01-06'));
    expect([open(null), open('HE'), open('BY')]).toEqual([true, true, false]);
  });
});

const cafeNow = (world: World) => world.tx(async (tx) => (await cafesAt(tx, BAR))[0]);
const only = async (world: World, text: string): Promise<Message> => {
  const [message] = await world.say('ola', text);
  return message ?? expect.fail(`no answer to ${text}`);
};

test('the region is said with the town, shown with the clock, and kept by one yes', async () => {
  const world = await openWorld();
  const check = await begin(world, BAR, 'Lantern Street', 'Munich, Bavaria');
  expect(linesOf(check)).toEqual(['Holidays of Germany, Bavaria.', 'Munich, Bavaria. Is it 14:02 there now?']);
  await world.tap('ola', check, 'Yes');
  expect(await cafeNow(world)).toMatchObject({ zone: 'Europe/Berlin', country: 'DE', region: 'BY' });
});

test('a region nobody knows is said so, and the country counts', async () => {
  const world = await openWorld();
  await begin(world, BAR, 'Lantern Street', 'Somewhere Small');
  const check = await only(world, 'Munich, Narnia');
  expect(linesOf(check)).toEqual(['I know no region "Narnia" in Germany.', 'Somewhere Small. Is it 14:02 there now?']);
  await world.tap('ola', check, 'Yes');
  expect(await cafeNow(world)).toMatchObject({ country: 'DE', region: null });
});

test('in the settings it is picked, written or taken back; in a country without regions it is not offered', async () => {
  const world = await openWorld();
  await walkTo(world, 'live');
  await world.tx((tx) => tx.updateTable('cafe').set({ country: 'DE' }).execute());
  const settings = await world.command('ola', 'cafe');
  const ask = await world.pick('ola', settings, 'Pick what to change', { region: 'Region for holidays' });
  expect(linesOf(ask)).toEqual(["Which region's public holidays count at the café too?", 'Where you are, as people there call it.']);
  expect(labelsOf(ask)).toEqual(['<Region>', "Country's only", 'Write it', 'Later', 'Back', 'Leave it']);
  const wrong = await world.write('ola', ask, 'Write it', 'Tyrol');
  expect(linesOf(wrong)[0]).toBe('I know no region "Tyrol" in Germany.');
  expect(linesOf(await world.pick('ola', wrong, 'Region', { BY: 'Bavaria' }))[0]).toBe('Noted. Region for holidays: Bavaria');
  expect(await cafeNow(world)).toMatchObject({ region: 'BY' });
  await only(world, 'change the region');
  expect(linesOf(await only(world, 'saxony'))[0]).toBe('Noted. Region for holidays: Saxony');
  const again = await only(world, 'change the state');
  expect(linesOf(again)[2]).toBe('Now: Saxony');
  expect(linesOf(await world.tap('ola', again, "Country's only"))[0]).toBe('Only the holidays of the whole country count now.');
  expect(await cafeNow(world)).toMatchObject({ region: null });
  await world.tx((tx) => tx.updateTable('cafe').set({ country: 'AT' }).execute());
  expect(linesOf(await only(world, 'change the region'))[0]).toBe("Of Austria I know the country's holidays only.");
});

test('a region falls when the café moves to another country, and stays when it moves within', async () => {
  const world = await openWorld();
  await walkTo(world, 'live');
  await world.tx((tx) => tx.updateTable('cafe').set({ country: 'DE', zone: 'Europe/Berlin', region: 'BY' }).execute());
  for (const [text, region] of [['Hamburg', 'BY'], ['Kiel, Schleswig-Holstein', 'SH'], ['Valencia', null]] as const) {
    await only(world, 'change the clock');
    await only(world, text);
    await only(world, 'yes');
    expect(await cafeNow(world)).toMatchObject({ region });
  }
});

test('the question about a holiday offers to say the region; its own holidays are asked about from then on', async () => {
  const store = await embedded.open();
  const stage = await terminalStage({ store, start: '2026-12-10T10:00:00Z' });
  await transact(store, [], (tx) => tx.updateTable('cafe').set({ country: 'DE', zone: 'Europe/Berlin' }).execute());
  await stage.until('in 7 days 20:00');
  expect((await seen(stage, 'Christmas Day')).buttons).toEqual(['Closed', 'Open as usual', 'Other hours', 'Our region']);
  await stage.person('ola').presses('Our region', 'Christmas Day');
  await stage.person('ola').presses('Bavaria', "Which region's public holidays");
  await stage.until('in 21 days 20:00');
  expect((await seen(stage, 'Wed 6 Jan')).lines[0]).toMatch(/^Wed 6 Jan, Epiphany: open or closed\?$/);
  await stage.close();
});
