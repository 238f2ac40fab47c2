import { readFileSync } from 'node:fs';
import { parse } from 'yaml';
import { z } from 'zod';
import { channel, direct, personId, type Person, type PlaceId } from '../chat/who.ts';

const schema = z.object({
  /** Start of the practice clock when nothing else is said. */
  start: z.iso.datetime(),
  zone: z.string(),
  space: z.string(),
  people: z.record(z.string(), z.object({ name: z.string(), roles: z.array(z.string()).default([]), manages: z.boolean().default(false), place: z.string().optional() })),
  /** A channel of another server names its `space`. */
  channels: z.record(z.string(), z.object({ name: z.string(), space: z.string().optional() })),
  roles: z.record(z.string(), z.string()),
  speaker: z.string(),
});

/** The invented people and channels one can speak as and in. */
export type Scenario = z.infer<typeof schema>;

export const readScenario = (path: string): Scenario => {
  const parsed = schema.safeParse(parse(readFileSync(path, 'utf8')));
  if (!parsed.success) throw new Error(`${path}: ${z.prettifyError(parsed.error)}`);
  return parsed.data;
};

export const personIn = (scenario: Scenario, key: string): Person | undefined => {
  const found = scenario.people[key];
  return found && { id: personId(key), name: found.name, roles: found.roles, manages: found.manages };
};

/** The server a channel belongs to: the scenario's own where nothing else is said. */
export const spaceAt = (scenario: Scenario, place: PlaceId): string => Object.entries(scenario.channels).find(([key]) => channel(key) === place)?.[1].space ?? scenario.space;

/** `#bar` for a channel, the person's name for direct messages. */
export const placeName = (scenario: Scenario, place: PlaceId): string => {
  const channelKey = Object.keys(scenario.channels).find((key) => channel(key) === place);
  if (channelKey !== undefined) return `#${scenario.channels[channelKey]?.name ?? channelKey}`;
  const person = Object.entries(scenario.people).find(([key]) => direct(personId(key)) === place);
  return person?.[1].name ?? 'somewhere';
};
