import { cafeById, groupsOf, machineById, ownersOf, techniciansOf, type Cafe } from '../cafe/records.ts';
import { secondLanguage } from '../cafe/languages.ts';
import type { Message } from '../chat/message.ts';
import { direct, personId, placeId } from '../chat/who.ts';
import { post } from '../store/post.ts';
import type { Tx } from '../store/store.ts';
import { setTimer } from '../store/timers.ts';
import { read } from '../store/transact.ts';
import { later, minutes, type Instant } from '../time/instant.ts';
import { isDangerKind, siteOf, type DangerNeeds, type Raised } from './danger-needs.ts';
import { dangerMessage, OF_A_GROUP, type DangerView } from './danger-views.ts';
import { changeDanger, dangerById, insertDanger, isRinsedOut, recentDanger, type DangerRecord } from './records.ts';

/** Told again within this time it is the same danger; and nobody can make noise with it. */
const SAME_DANGER = minutes(2);
const UNANSWERED = minutes(3);

export const dangerKey = (id: string): string => `danger.${id}`;
/** The same steps in the language that stands beside the café's own. */
export const secondKey = (id: string): string => `danger.${id}.second`;
export const ownerKey = (id: string, owner: string): string => `danger.owner.${id}.${owner}`;

/** What every conversation about a danger works with: raising it, showing it, marking what must stay off. */
export const createDangerDesk = (needs: DangerNeeds) => {
  const { store, words, ids, putAside } = needs;

  const viewOf = async (tx: Tx, row: DangerRecord, cafe: Cafe): Promise<DangerView> => {
    const [owner] = await ownersOf(tx, cafe.id);
    const [technician] = await techniciansOf(tx, cafe.id);
    const machine = row.machine === null ? undefined : await machineById(tx, row.machine);
    const kind = isDangerKind(row.kind) ? row.kind : 'fire';
    const rinse = isRinsedOut(row) && row.machine !== null ? { cafe: cafe.id, machine: row.machine } : null;
    const several = machine !== undefined && machine.groups > 1 && row.group_number === null && OF_A_GROUP.includes(kind);
    return {
      id: row.id, kind, state: row.state, groupOnly: row.group_number !== null, rinse, groups: several ? Array.from({ length: machine.groups }, (_, i) => i + 1) : [], wasOut: row.was_out === 1, reckoned: row.reckoned === 1, staysOff: machine?.state === 'must stay off',
      owner: owner?.name ?? null, technician: technician?.state === 'linked' ? technician.name : null, site: siteOf(cafe),
    };
  };

  const draw = async (id: string, locale?: string): Promise<Message | undefined> =>
    read(store, async (tx) => {
      const row = await dangerById(tx, id);
      const cafe = row && (await cafeById(tx, row.cafe));
      return row && cafe && dangerMessage(words.in(locale ?? cafe.language), await viewOf(tx, row, cafe));
    });

  const callOwners = async (tx: Tx, row: DangerRecord, now: Instant): Promise<void> => {
    for (const owner of await ownersOf(tx, row.cafe))
      await post(tx, ids, now, { key: ownerKey(row.id, owner.id), cafe: row.cafe, place: direct(personId(owner.person ?? '')), kind: 'danger.owner', data: { danger: row.id, owner: owner.id }, priority: 'danger' });
  };

  const stayOff = async (tx: Tx, { id, machine, group_number: group, kind, state }: DangerRecord, by: string, now: Instant): Promise<void> => {
    if (machine === null) return;
    if (group !== null && state === 'told') await changeDanger(tx, id, { was_out: (await groupsOf(tx, machine)).some(({ number, state: stands }) => number === group && stands === 'out of use') ? 1 : 0 });
    if (group === null) await tx.updateTable('machine').set({ state: 'must stay off', state_since: now, state_by: by, state_reason: kind }).where('id', '=', machine).execute();
    else await tx.updateTable('machine_group').set({ state: 'out of use' }).where('machine', '=', machine).where('number', '=', group).execute();
  };

  const show = async (tx: Tx, row: DangerRecord, { cafe, by }: Raised, now: Instant): Promise<void> => {
    const owners = (await ownersOf(tx, cafe.id)).flatMap(({ person }) => (person === null ? [] : [personId(person)]));
    const place = cafe.place === null ? direct(by.id) : placeId(cafe.place);
    const loud = cafe.loud_danger === 1 ? { notify: owners, notifyRoles: cafe.bar_role === null ? [] : [cafe.bar_role] } : {};
    await post(tx, ids, now, { key: dangerKey(row.id), cafe: cafe.id, place, kind: 'danger', data: { danger: row.id }, priority: 'danger', ...loud });
    const second = secondLanguage(cafe);
    if (second !== undefined && cafe.place !== null && words.nearest(second) !== words.nearest(cafe.language))
      await post(tx, ids, now, { key: secondKey(row.id), cafe: cafe.id, place, kind: 'danger', data: { danger: row.id, locale: second }, priority: 'danger', silent: true });
    await setTimer(tx, ids, now, { key: `danger.unanswered.${row.id}`, cafe: cafe.id, kind: 'danger.unanswered', ref: row.id, at: later(now, UNANSWERED) });
  };

  /** Nobody has to press anything for what follows from answers: it is marked, and the owners hear of it, at once. */
  const settle = async (tx: Tx, row: DangerRecord, by: string, now: Instant): Promise<void> => {
    await stayOff(tx, row, by, now);
    await callOwners(tx, row, now);
  };

  /** The steps go out at once, loudly, in the café's channel, whoever told of it and wherever. */
  const raise = async (tx: Tx, raised: Raised, now: Instant): Promise<void> => {
    const { cafe, machine, group, kind, act, by, caseId, text, reckoned } = raised;
    const same = await recentDanger(tx, cafe.id, kind, now - SAME_DANGER);
    if (same && same.state === 'told') return reckoned ? settle(tx, same, by.name, now) : undefined;
    const row: DangerRecord = {
      id: ids(now), cafe: cafe.id, machine, group_number: act === 'group-out' ? group : null, kind, state: 'told', text, by_person: by.id, by_name: by.name,
      off_at: null, off_by: null, case_id: caseId, reckoned: reckoned ? 1 : 0, was_out: 0, at: now, rev: 0,
    };
    await insertDanger(tx, row);
    await show(tx, row, raised, now);
    if (reckoned) await settle(tx, row, by.name, now);
    if (machine !== null) await putAside(tx, cafe.id, machine, caseId, now);
  };

  return { needs, draw, callOwners, stayOff, raise };
};

export type DangerDesk = ReturnType<typeof createDangerDesk>;
