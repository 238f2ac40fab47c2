// Two weeks of an invented café, in winter time (UTC+1): Tuesday to Sunday 08:00 to 22:30, cleaning from 22:00.
const PEOPLE = ['mia', 'sam', 'lina', 'pablo'];
const DAYS = 14;
export const START = '2027-01-12T05:00:00Z';

const day = (n) => new Date(Date.parse('2027-01-12T00:00:00Z') + n * 86_400_000).toISOString().slice(0, 10);

/** What people do with a closing list: the four usual ways, and nothing. */
const closingAnswers = (luck, date, event) => {
  const who = luck.oneOf(PEOPLE);
  const say = (text) => ({ at: `${date}T21:31:00Z`, do: 'say', event: event(), who, text });
  const pressed = { at: `${date}T21:31:00Z`, do: 'done', event: event(), who };
  const first = luck.oneOf([[pressed], [say('done')], [say('all except 2')], [pressed, { ...pressed, at: `${date}T21:31:20Z`, event: event(), who: luck.oneOf(PEOPLE) }], [], [pressed, { at: `${date}T21:32:00Z`, do: 'back', event: event(), who }, { ...pressed, at: `${date}T21:33:00Z`, event: event() }]]);
  if (first.length === 0) return [];
  return [...first, { at: `${date}T21:50:00Z`, do: 'end', event: event(), who, how: luck.oneOf(['out', 'out', 'still']) }];
};

export const scriptFor = (luck) => {
  let events = 0;
  const event = () => `e${++events}`;
  const steps = [];
  for (let n = 0; n < DAYS; n++) {
    const date = day(n);
    steps.push({ at: `${date}T06:31:00Z`, do: 'wait' });
    if (luck.next() < 0.7) steps.push({ at: `${date}T06:45:00Z`, do: 'done', event: event(), who: luck.oneOf(PEOPLE) });
    steps.push({ at: `${date}T14:30:00Z`, do: 'wait' }, { at: `${date}T21:01:00Z`, do: 'wait' }, ...closingAnswers(luck, date, event));
  }
  steps.push({ at: `${day(DAYS)}T02:00:00Z`, do: 'wait' });
  return { start: START, steps };
};

/** Closing lists of those two weeks, counted on the calendar by hand: 12 days open (two Mondays shut), at 22:00 local. */
export const CLOSINGS = [12, 13, 14, 15, 16, 17, 19, 20, 21, 22, 23, 24].map((d) => `2027-01-${d}T21:00:00.000Z`);
