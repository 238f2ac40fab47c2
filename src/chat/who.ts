/** A person on a chat platform, by the platform's own id, as text. */
export type PersonId = string & { readonly __person: true };
/** Where messages go: `c.<id>` a channel, `p.<person>` a person's direct messages. */
export type PlaceId = string & { readonly __place: true };
export type Locale = string;

/** Who did something, as the platform tells it with the event itself. */
export type Person = {
  readonly id: PersonId;
  readonly name: string;
  /** Roles this person has where the event happened; empty in direct messages. */
  readonly roles: readonly string[];
  /** May this person manage the place (server) the event came from? */
  readonly manages: boolean;
};

export const personId = (text: string): PersonId => text as PersonId;
export const channel = (id: string): PlaceId => `c.${id}` as PlaceId;
export const direct = (person: PersonId): PlaceId => `p.${person}` as PlaceId;
export const placeId = (text: string): PlaceId => text as PlaceId;

export const isDirect = (place: PlaceId): boolean => place.startsWith('p.');
/** The platform's id behind a place: a channel's, or the person's whose direct messages it is. */
export const idOf = (place: PlaceId): string => place.slice(2);
