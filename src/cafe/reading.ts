import type { Instant } from '../time/instant.ts';
import type { Values } from '../words/catalogue.ts';
import type { Countries } from './countries.ts';
import type { Fact } from './facts.ts';
import type { House } from './house.ts';
import type { Pending } from './pending.ts';

/** What typed words mean as an answer to a question. `check`: it waits for a yes, with what is said first; `null` asks the question afresh. */
export type Reading =
  | { readonly kind: 'known'; readonly value: string }
  | { readonly kind: 'check'; readonly pending: Pending | null; readonly note?: { readonly key: string; readonly values: Values } }
  | { readonly kind: 'skip' | 'back' | 'leave' }
  | { readonly kind: 'unread'; readonly why: string; readonly values?: Values };

export type Asked = {
  readonly fact: Fact;
  readonly house: House;
  readonly machine: string | null;
  readonly pending: Pending | null;
  readonly now: Instant;
  readonly countries: Countries;
  readonly languages: readonly string[];
  readonly locale: string;
};

export const known = (value: string): Reading => ({ kind: 'known', value });
export const unread = (why: string, values?: Values): Reading => (values ? { kind: 'unread', why, values } : { kind: 'unread', why });
