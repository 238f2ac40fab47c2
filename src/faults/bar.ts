import type { Bar } from './catalogue-model.ts';
import type { MachineKind, Trait } from './catalogue-schema.ts';

/** What is known of a machine, in the words of its row. Null: not known. */
export type KnownMachine = {
  readonly kind: string | null;
  readonly groups: number;
  readonly lever: string | null;
  readonly exhaust: string | null;
  readonly gas: string | null;
  readonly feed: string | null;
  readonly filter?: string | undefined;
  readonly screen?: string | undefined;
};

const KINDS: Readonly<Record<string, MachineKind>> = { HX: 'hx', SB: 'sb', SAT: 'sb', '1B': '1b', TB: 'tb', LV: 'lv' };
const SCREENS: Readonly<Record<string, Trait>> = { screw: 'screen-screw', seal: 'screen-press', block: 'screen-block' };

/** Found beside nearly every café machine; common practice, no source. */
const USUAL: readonly Trait[] = ['boiler-gauge', 'pump-gauge', 'hot-tap', 'steam', 'second-wand', 'second-handle', 'second-basket', 'manual-button', 'grinder', 'scale', 'display'];

/** The machine as the catalogue wants it. What is not known counts as the usual, except an exhaust valve: not known is none. */
export const barOf = (machine: KnownMachine): Bar => {
  const lever = machine.lever === 'yes';
  const traits: readonly (readonly [Trait, boolean])[] = [
    ['exhaust', machine.exhaust === 'yes' && !lever],
    ['lever', lever],
    ['gas', machine.gas === 'yes'],
    ['tank', machine.feed === 'tank'],
    ['mains', machine.feed !== 'tank'],
    ['filter', machine.feed !== 'tank'],
    ['softener', machine.filter === 'salt softener'],
    ['second-group', machine.groups > 1],
  ];
  const screen = machine.screen === undefined ? undefined : SCREENS[machine.screen];
  const kind = lever ? 'lv' : (KINDS[machine.kind ?? ''] ?? 'hx');
  return { kind, has: new Set([...USUAL, ...traits.filter(([, there]) => there).map(([trait]) => trait), ...(screen ? [screen] : [])]) };
};
