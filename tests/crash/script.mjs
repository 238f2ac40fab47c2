// Two weeks of an invented café, in winter time (UTC+1): Tuesday to Sunday 08:00 to 22:30, cleaning from 22:00.
const PEOPLE = ['mia', 'sam', 'lina', 'pablo'];
const DAYS = 14;
export const START = '2027-01-12T05:00:00Z';

const day = (n) => new Date(Date.parse('2027-01-12T00:00:00Z') + n * 86_400_000).toISOString().slice(0, 10);

/** Every way of answering a closing list, each a few presses or words; the times are those of that evening. */
const WAYS = {
  silence: () => [],
  button: ({ on }) => [on('21:31:00', 'done')],
  words: ({ on }) => [on('21:31:00', 'say', { text: 'done' })],
  'tick mark': ({ on }) => [on('21:31:00', 'mark')],
  'for another': ({ on }) => [on('21:31:00', 'say', { text: 'done Mia' })],
  'all but one': ({ on }) => [on('21:31:00', 'say', { text: 'all except 2' }), on('21:31:30', 'but')],
  'one job, then the rest': ({ on }) => [on('21:31:00', 'say', { text: 'done 1' }), on('21:40:00', 'done')],
  'some, then the rest': ({ on, luck }) => [on('21:31:00', 'these', { positions: luck.oneOf([[1], [2, 4], [1, 2, 4]]) }), on('21:40:00', 'done')],
  'two at once': ({ on }) => [on('21:31:00', 'done'), on('21:31:20', 'done', { other: true })],
  'taken back': ({ on }) => [on('21:31:00', 'done'), on('21:32:00', 'back'), on('21:33:00', 'done')],
  'taken back for good': ({ on }) => [on('21:31:00', 'done'), on('21:52:00', 'back')],
  'half an hour later': ({ on }) => [on('21:31:00', 'later'), on('22:45:00', 'done')],
  'no time': ({ on, luck }) => [on('21:31:00', 'cant', { reason: luck.oneOf(['time', 'broken', 'not-shown']) })],
  'no detergent': ({ on, luck }) => [on('21:31:00', 'say', { text: "can't, no detergent" }), on('21:33:00', 'water', { how: luck.oneOf(['done', 'no']) }), on('21:40:00', 'done')],
  early: ({ on }) => [on('20:10:00', 'say', { text: 'done', early: true, by: '20:40:00' }), on('20:12:00', 'early', { by: '20:58:00' }), on('21:31:00', 'done')],
};
export const WAYS_OF_ANSWERING = Object.keys(WAYS);

const closingAnswers = (luck, date, event, way) => {
  const who = luck.oneOf(PEOPLE);
  const on = (time, what, { other, by, ...more } = {}) => ({ at: `${date}T${time}Z`, do: what, event: event(), who: other ? luck.oneOf(PEOPLE) : who, ...more, ...(by === undefined ? {} : { by: `${date}T${by}Z` }) });
  const steps = WAYS[way]({ on, luck });
  if (steps.length === 0) return [];
  const ends = luck.oneOf([['out'], ['out'], ['still', 'out'], ['still'], ['not-started']]);
  const more = [on('22:50:00', 'proof'), ...ends.map((how, i) => on(`22:5${1 + i}:00`, 'end', { how }))];
  return [...steps, ...more];
};

const isShut = (date) => new Date(`${date}T12:00:00Z`).getUTCDay() === 1;

/** All ways in a shuffled order, then some of them again: in two weeks nearly every one comes. */
const shuffled = (luck, list) => list.map((each) => [luck.next(), each]).sort(([a], [b]) => a - b).map(([, each]) => each);

export const scriptFor = (luck) => {
  let [events, closings] = [0, 0];
  const event = () => `e${++events}`;
  const ways = shuffled(luck, WAYS_OF_ANSWERING);
  const steps = [{ at: START, do: 'ask-proof', event: event(), who: 'ola' }];
  for (let n = 0; n < DAYS; n++) {
    const date = day(n);
    steps.push({ at: `${date}T06:31:00Z`, do: 'wait' });
    if (luck.next() < 0.7) steps.push({ at: `${date}T06:40:00Z`, do: 'rinse', event: event(), who: luck.oneOf(PEOPLE) });
    if (luck.next() < 0.7) steps.push({ at: `${date}T06:45:00Z`, do: 'done', event: event(), who: luck.oneOf(PEOPLE) });
    steps.push({ at: `${date}T14:30:00Z`, do: 'wait' });
    // On a Monday there is no list to answer.
    const answers = isShut(date) ? [] : closingAnswers(luck, date, event, ways[closings++ % ways.length]);
    const before = ({ at }) => at < `${date}T21:01:00Z`;
    steps.push(...answers.filter(before), { at: `${date}T21:01:00Z`, do: 'wait' }, ...answers.filter((step) => !before(step)));
  }
  steps.push({ at: `${day(DAYS)}T02:00:00Z`, do: 'wait' });
  return { start: START, steps };
};

/** Closing lists of those two weeks, counted on the calendar by hand: 12 days open (two Mondays shut), at 22:00 local. */
export const CLOSINGS = [12, 13, 14, 15, 16, 17, 19, 20, 21, 22, 23, 24].map((d) => `2027-01-${d}T21:00:00.000Z`);
