import type { Kysely } from 'kysely';
import { createTable, index, type Migration } from '../schema.ts';

const cafe = `id! name! town! zone! language! second_language state! hours exceptions! cleaning_before!i quiet rush space place bar_role
  switch_off emergency gas_emergency poison_line breaker water_tap door address telephone country off_at_night currency money! step pending asked
  loud_danger!f learn_together!f rev!i created_at!t removed_at.t`;
const machine = 'id! cafe! name groups!i kind lever exhaust gas feed contract state! state_since.t state_by state_reason facts! created_at!t';
const outbox = `id! key! cafe place! kind! data! priority!i silent!f notify! reply_to not_before!t not_after.t state! attempts!i claimed_at.t
  first_try_at.t message_id sent_at.t version!i shown_version!i redraw_at.t trouble created_at!t`;
const duty = `id! cafe! machine group_number.i job! rrule start_date moment! on_closed! use_every.d use_unit use_from.d use_since.t forecast_at.t
  next_due.t active!f switched_off!f who last_done_at.t rev!i created_at!t`;
const occurrence = `id! reminder! duty! cafe! job! machine group_number.i position!i due_at!t state! by_person by_name done_at.t reason note later_until.t rev!i`;

const up = async (db: Kysely<never>): Promise<void> => {
  await createTable(db, 'cafe', cafe);
  await createTable(db, 'machine', machine);
  await createTable(db, 'machine_group', 'id! machine! number!i state! residue! residue_since.t');
  await createTable(db, 'member', 'id! cafe! person name! role! language direct_ok!f seen_at.t created_at!t');
  await createTable(db, 'technician', 'id! cafe! position!i name! telephone person place zone language state! code code_until.t linked_at.t created_at!t');
  await createTable(db, 'dialogue', 'id! place! person! cafe kind! ref! asked_at!t');
  await createTable(db, 'seen', 'id! at!t');
  await createTable(db, 'note', 'key! value!', 'key');
  await createTable(db, 'outbox', outbox);
  await createTable(db, 'timer', 'id! key! cafe kind! ref! at!t active!f');
  await createTable(db, 'duty', duty);
  await createTable(db, 'reminder', 'id! cafe! place! due_at!t moment! date! state! missed!i created_at!t');
  await createTable(db, 'occurrence', occurrence);
  await createTable(db, 'terminal_message', 'id! tag! place! only nonce! message! at!t');
  await index(db, 'terminal_nonce', 'terminal_message (place, nonce)', { unique: true });
  await index(db, 'cafe_place', 'cafe (place)');
  await index(db, 'machine_cafe', 'machine (cafe)');
  await index(db, 'group_machine', 'machine_group (machine, number)', { unique: true });
  await index(db, 'member_cafe', 'member (cafe)');
  await index(db, 'member_person', 'member (person)');
  await index(db, 'technician_cafe', 'technician (cafe, position)');
  await index(db, 'technician_person', 'technician (person)');
  await index(db, 'technician_code', 'technician (code)', { where: 'code is not null' });
  await index(db, 'dialogue_open', 'dialogue (place, person)', { unique: true });
  await index(db, 'seen_at', 'seen (at)');
  await index(db, 'outbox_key', 'outbox (key)', { unique: true });
  await index(db, 'outbox_ready', 'outbox (priority, not_before)', { where: "state = 'ready'" });
  await index(db, 'outbox_claimed', 'outbox (claimed_at)', { where: "state = 'claimed'" });
  await index(db, 'outbox_redraw', 'outbox (redraw_at)', { where: 'redraw_at is not null' });
  await index(db, 'outbox_message', 'outbox (place, message_id)');
  await index(db, 'timer_key', 'timer (key)', { unique: true });
  await index(db, 'timer_due', 'timer (at, id)', { where: 'active = 1' });
  await index(db, 'duty_due', 'duty (next_due, id, cafe)', { where: 'active = 1' });
  await index(db, 'duty_cafe', 'duty (cafe)');
  await index(db, 'reminder_moment', 'reminder (cafe, place, due_at)', { unique: true });
  await index(db, 'occurrence_reminder', 'occurrence (reminder)');
  await index(db, 'occurrence_duty', 'occurrence (duty, due_at)', { unique: true });
  await index(db, 'occurrence_open', 'occurrence (cafe, due_at)', { where: "state in ('due', 'later', 'part done', 'asked')" });
};

export const start: Migration = { name: '001-start', up };
