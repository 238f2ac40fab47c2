import type { CatalogueCause, DangerKind, Hazard } from './catalogue-schema.ts';
import { levelOf } from './safety.ts';
import type { Verdict } from './verdict.ts';

/** Which steps fit a hazard; null: it bars jobs and hurts nobody by itself. A dry boiler and a worn switch are faults at electrics. */
const KIND_OF: Readonly<Record<Hazard, DangerKind | null>> = {
  gas: 'gas', electric: 'electric', 'power-on': 'electric', 'dry-boiler': 'electric', 'boiler-over': 'steam', 'hot-stream': 'scald', trapped: 'pressure', 'no-rush': null, choked: null, 'thick-ring': null,
  'handle-pops': 'pressure', 'lever-load': 'pressure', flood: 'flood', contaminated: 'chemical',
};

/** Where nothing says what it is: step back and switch off fits every machine. */
const UNKNOWN: DangerKind = 'scald';

/** The danger that a verdict "stop" is about: the likeliest hazard of the causes that ask for as much caution as it has. */
export const dangerOf = ({ likely, caution }: Pick<Verdict, 'likely' | 'caution'>, causes: ReadonlyMap<string, Pick<CatalogueCause, 'danger' | 'hazards'>>): DangerKind => {
  const chances = new Map<DangerKind, number>();
  for (const { cause, chance } of likely)
    for (const part of cause.split('+')) {
      const known = causes.get(part);
      if (known && levelOf(known.danger) >= caution.level)
        for (const kind of new Set(known.hazards.map((hazard) => KIND_OF[hazard]))) if (kind !== null) chances.set(kind, (chances.get(kind) ?? 0) + chance);
    }
  return [...chances].toSorted((a, b) => b[1] - a[1])[0]?.[0] ?? UNKNOWN;
};
