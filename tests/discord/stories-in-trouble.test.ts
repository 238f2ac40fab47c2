import { describe, expect, test } from 'vitest';
import type { Store } from '../../src/store/store.ts';
import { read } from '../../src/store/transact.ts';
import { databases } from '../store/databases.ts';
import { discordStage, type DiscordStage, type Trouble } from '../stories/discord-stage.ts';
import type { Stage } from '../stories/stage.ts';
import { terminalStage } from '../stories/terminal-stage.ts';

/** Two nights at the bar: by reply, by button, by mark, by several hands; a list left over and one taken back. */
const twoNights = async (stage: Stage): Promise<void> => {
  await stage.until('22:31');
  await stage.person('mia').presses('Done: some', 'Closing');
  await stage.person('mia').picks('1 backflush');
  await stage.person('sam').replies('Closing', 'all done except 3');
  await stage.person('lina').presses('Done: the rest');
  await stage.person('lina').presses('Still soaking');
  await stage.until('tomorrow 7:30');
  await stage.person('lina').presses('Rinsed');
  await stage.until('22:05');
  await stage.person('pablo').ticks('Closing');
  await stage.person('sam').says('done');
  await stage.until('tomorrow 8:00');
};

/** Everything the café's record holds of these nights, in words that are the same on every chat. */
const recordOf = async (store: Store): Promise<unknown> =>
  read(store, async (tx) => ({
    jobs: await tx.selectFrom('occurrence').select(['job', 'due_at', 'state', 'by_name', 'done_at', 'reason']).orderBy('due_at').orderBy('position').execute(),
    lists: await tx.selectFrom('reminder').select(['due_at', 'moment', 'state']).orderBy('due_at').execute(),
    sent: await tx.selectFrom('outbox').select(['kind', 'place', 'state', 'sent_at']).orderBy('sent_at').orderBy('kind').execute().then((rows) => rows.map(({ kind, place, state }) => `${kind} ${place.slice(0, 1)} ${state}`)),
  }));

type Told = { readonly record: unknown; readonly shown: readonly string[] };

const tell = async (store: Store, stage: Stage): Promise<Told> => {
  await twoNights(stage);
  const shown = (await stage.messages()).map(({ place, only, lines, buttons }) => [place, only ?? 'all', ...lines, ...buttons].join(' | '));
  const record = await recordOf(store);
  await stage.close();
  return { record, shown };
};

const troubles: readonly (readonly [string, Trouble])[] = [
  ['nothing going wrong', {}],
  ['the first answer to every message lost', { loseAnswers: true }],
  ...[2, 5, 8].map((act) => [`the line dropped before act ${act}, answers lost`, { dropBefore: act, loseAnswers: true }] as const),
  ...[1, 3, 4, 6, 8].map((act) => [`a restart before act ${act}, answers lost`, { restartBefore: act, loseAnswers: true }] as const),
];

/** Did what should go wrong really go wrong? */
const proof = ({ double }: DiscordStage): Record<string, boolean> => ({
  'answers lost': double.sent('create_message').some(({ status }) => status === 'lost' || status === 502),
  resumed: double.journal.entries.some(({ kind }) => kind === 'bot resumed'),
  'started anew': double.gateway.identifies.length > 1,
});

describe.each(databases)('two nights, on the $name database', ({ open }) => {
  const undisturbed = (async () => {
    const store = await open();
    return tell(store, await terminalStage({ store }));
  })();

  test.each(troubles)('with %s: the same record, and no message twice', async (_name, trouble) => {
    const store = await open();
    const stage = await discordStage({ store }, trouble);
    const told = await tell(store, stage);
    const wanted = await undisturbed;
    expect(proof(stage)).toEqual({ 'answers lost': trouble.loseAnswers === true, resumed: trouble.dropBefore !== undefined, 'started anew': trouble.restartBefore !== undefined });
    expect(told.record).toEqual(wanted.record);
    expect(told.shown).toEqual(wanted.shown);
  });
});
