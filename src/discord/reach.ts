import { Routes, type APIApplication, type REST } from 'discord.js';
import type { Logger } from 'pino';
import { pauseUnless } from './bounded.ts';
import { mayReadAll, type Application } from './client.ts';
import type { Cuttable } from './cut.ts';
import { endingOfError, type Ending } from './endings.ts';
import { errorFacts } from './error-facts.ts';

/** What this bot is to the platform: its number, and whether it may read everything. */
export const askAboutUs = async (rest: REST, cuttable: Cuttable): Promise<Application> => {
  const about = (await cuttable.run((signal) => rest.get(Routes.currentApplication(), { signal }))) as APIApplication;
  return { id: about.id, readsAll: mayReadAll(about.flags) };
};

export type ReachNeeds = { readonly log: Logger; readonly retryPause: (tries: number) => number; readonly stopping: AbortSignal; readonly end: (ending: Ending) => void };

/** Tries until it works, with growing pauses; gives up only where trying again is of no use, and says so. */
export const keepTrying = async ({ log, retryPause, stopping, end }: ReachNeeds, work: () => Promise<void>): Promise<void> => {
  for (let tries = 0; !stopping.aborted; tries++)
    try {
      return await work();
    } catch (error) {
      if (stopping.aborted) return;
      const ending = endingOfError(error);
      if (ending) return end(ending);
      const wait = retryPause(tries);
      log.warn({ seconds: Math.round(wait / 1000), err: errorFacts(error) }, 'the platform cannot be reached yet, trying again');
      await pauseUnless(wait, stopping);
    }
};
