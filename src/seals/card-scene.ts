import { cafeById, machineById, type Cafe, type Machine } from '../cafe/records.ts';
import type { Tx } from '../store/store.ts';
import { setTimer, stopTimer } from '../store/timers.ts';
import type { Instant } from '../time/instant.ts';
import type { Desk } from './card-desk.ts';
import { heatMinutes } from './card-fit.ts';
import { figuresOf, runById, type CardRun } from './card-records.ts';
import { waitUntil } from './card-views.ts';
import type { Card } from './cards-config.ts';
import type { Progress } from './job-card.ts';

/** A card in progress with all it is about. */
export type Scene = { readonly run: CardRun; readonly card: Card; readonly cafe: Cafe; readonly machine: Machine };

export type Scenes = {
  /** `rewritten`: the card has changed so much that this one cannot go on. */
  readonly sceneOf: (tx: Tx, run: string) => Promise<Scene | 'gone' | 'rewritten'>;
  /** Sets the call for the wait of the screen it stands at, or takes back the one before. */
  readonly setWait: (tx: Tx, scene: Scene, after: Progress, now: Instant) => Promise<void>;
};

export const createScenes = (desk: Desk): Scenes => {
  const { ids } = desk.needs;
  const sceneOf: Scenes['sceneOf'] = async (tx, runId) => {
    const run = await runById(tx, runId);
    const cafe = run && (await cafeById(tx, run.cafe));
    const machine = run && (await machineById(tx, run.machine));
    if (!run || !cafe || !machine) return 'gone';
    const card = desk.cardOf(run);
    return card ? { run, card, cafe, machine } : 'rewritten';
  };

  const setWait: Scenes['setWait'] = async (tx, { run, card, cafe, machine }, after, now) => {
    const until = waitUntil(card, after, heatMinutes(figuresOf(cafe, machine)));
    if (until === null) await stopTimer(tx, `card.wait.${run.id}`);
    else await setTimer(tx, ids, now, { key: `card.wait.${run.id}`, cafe: run.cafe, kind: 'card.wait', ref: `${run.id} ${after.at}`, at: until });
  };

  return { sceneOf, setWait };
};
