import type { Machine } from '../cafe/records.ts';
import { button, line, message, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import type { Instant } from '../time/instant.ts';
import type { Say } from '../words/catalogue.ts';
import { figure, shortDate, shortened, type Reader } from '../words/format.ts';
import { jobShort } from './job-name.ts';
import type { CounterReading } from './readings.ts';

export type CounterShow = { readonly say: Say; readonly reader: Reader };

const valueText = (show: CounterShow, row: Pick<CounterReading, 'counter' | 'value'>): string => show.say(`routine.counter.value.${row.counter}`, { value: figure(row.value, show.reader.locale) });

/** Noted, and the next job it moves. */
export const notedMessage = (show: CounterShow, row: CounterReading, next: { readonly job: string; readonly at: Instant } | undefined): Message => {
  const { say, reader } = show;
  if (row.state === 'dropped') return message([say('routine.counter.dropped')]);
  const follows = next ? [say('routine.counter.next', { job: jobShort(say, next.job, null), date: shortDate(next.at, reader) })] : [];
  return message([line(say('routine.counter.noted', { value: valueText(show, row) }), 'strong'), ...follows], [button(say('routine.button.take-back'), press('counter', row.id, 'back'))]);
};

export const askLower = (show: CounterShow, row: CounterReading, than: number, on: Instant): Message => {
  const { say, reader } = show;
  const to = (how: string): ReturnType<typeof button> => button(say(`routine.counter.button.${how}`), press('counter', row.id, how));
  return message([say('routine.counter.lower', { value: figure(row.value, show.reader.locale), than: figure(than, show.reader.locale), date: shortDate(on, reader) }), say('routine.counter.lower-ask')], [to('anew'), to('earlier'), to('slip')]);
};

export const askMuch = (show: CounterShow, row: CounterReading, perDay: number): Message => {
  const { say } = show;
  const to = (how: string): ReturnType<typeof button> => button(say(`routine.counter.button.${how}`), press('counter', row.id, how));
  return message([say('routine.counter.much', { amount: valueText(show, { counter: row.counter, value: Math.round(perDay) }) }), say('routine.counter.much-ask', { value: valueText(show, row) })], [to('yes'), to('slip')]);
};

/** Which machine's counter it is. */
export const askMachine = ({ say }: CounterShow, row: CounterReading, machines: readonly Machine[]): Message =>
  message([say('routine.counter.which')], machines.slice(0, 4).map((machine, i) => button(shortened(machine.name ?? say('cafe.machine.name', { number: i + 1 }), 20), press('counter', row.id, 'machine', machine.id))));
