import type { Client } from 'discord.js';
import type { Logger } from 'pino';
import { pauseUnless } from './bounded.ts';
import { errorFacts } from './error-facts.ts';
import type { ReadMarks } from './read-marks.ts';

export type RecallNeeds = {
  readonly log: Logger;
  readonly marks: ReadMarks;
  /** Reads what was said while nobody listened. */
  readonly read: (client: Client<true>) => Promise<void>;
  readonly follow: (what: string, work: () => Promise<void>) => void;
  readonly retryPause: (tries: number) => number;
  readonly stopping: AbortSignal;
  /** Told when everything said up to now has been read. */
  readonly done: () => void;
};

/** When to read back: after a login, not after a resume, which brings everything missed by itself. */
export type Recall = { readonly fresh: (client: Client<true>) => void; readonly resumed: () => void; readonly lost: () => void };

export const createRecall = ({ log, marks, read, follow, retryPause, stopping, done }: RecallNeeds): Recall => {
  let last: Promise<void> = Promise.resolve();
  let newest = 0;

  /** A newer session reads back further than this one would have: then there is nothing left to try. */
  const readBack = async (client: Client<true>, turn: number): Promise<void> => {
    marks.stand();
    for (let tries = 0; !stopping.aborted && turn === newest; tries++)
      try {
        await read(client);
        marks.goOn();
        await marks.keep();
        return done();
      } catch (error) {
        if (stopping.aborted) return;
        log.error({ err: errorFacts(error) }, 'what was said before could not be read yet');
        await pauseUnless(retryPause(tries), stopping);
      }
  };

  return {
    fresh: (client) => {
      const turn = ++newest;
      const before = last;
      follow('what was said before', () => (last = before.then(() => readBack(client, turn))));
    },
    resumed: () => void last.then(marks.goOn, () => undefined),
    lost: marks.stand,
  };
};
