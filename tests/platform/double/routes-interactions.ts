import { list, text, within, type Part } from './check-components.ts';
import { checkForm } from './check-form.ts';
import { numbered, addMessage, changeMessage, removeMessage } from './messages.ts';
import type { Acknowledgement, Choice } from './journal.ts';
import type { Interaction } from './interactions.ts';
import { refusals, refuseForm } from './refusal.ts';
import { bodyOf, done, ok, param, route, type Call, type Reply } from './routes.ts';
import { messageWire } from './wire-message.ts';
import type { Wire } from './wire-places.ts';
import { messageById, type Channel, type Message } from './world.ts';
import { flagsOf, rewritten, written } from './writing.ts';

/** Flags of a message: for one person's eyes, and "is thinking". */
const PRIVATE = 1 << 6;
const THINKING = 1 << 7;
const TYPE: Readonly<Record<number, Acknowledgement>> = { 4: 'reply', 5: 'later reply', 6: 'later update', 7: 'update', 8: 'choices', 9: 'form' };
/** Which answers the platform takes to what; a form or a command has no message to update. */
const FITS: Readonly<Record<Interaction['kind'], readonly Acknowledgement[]>> = {
  command: ['reply', 'later reply', 'form'],
  press: ['reply', 'later reply', 'later update', 'update', 'form'],
  choices: ['choices'],
  form: ['reply', 'later reply', 'later update', 'update'],
};

function channelOf(call: Call, interaction: Interaction): Channel {
  const channel = call.inside.world.channels.get(interaction.channelId);
  if (!channel) throw refusals.unknownChannel();
  return channel;
}

function acknowledge(call: Call, interaction: Interaction, how: Acknowledgement): void {
  interaction.acknowledged = how;
  interaction.tookMs = performance.now() - interaction.startedAt;
  call.inside.journal.note({ kind: 'interaction acknowledged', interactionId: interaction.id, how });
}

function answerMessage(call: Call, interaction: Interaction, data: Wire, onlyForAsker: boolean): Message {
  const as = { answer: true, interactionId: interaction.id, ...(onlyForAsker ? { onlyFor: interaction.byId, extraFlags: PRIVATE } : {}) };
  return written(call, channelOf(call, interaction), data, as);
}

/** A later reply stands in the channel as "thinking" until it is filled. */
function thinking(call: Call, interaction: Interaction, onlyForAsker: boolean): Message {
  const blank = answerMessage(call, interaction, { content: '…' }, onlyForAsker);
  return { ...blank, content: '', flags: blank.flags | THINKING };
}

function reply(call: Call, interaction: Interaction, how: 'reply' | 'later reply', data: Wire): Message {
  interaction.onlyForAsker = (flagsOf(data) & PRIVATE) !== 0;
  const message = how === 'reply' ? answerMessage(call, interaction, data, interaction.onlyForAsker) : thinking(call, interaction, interaction.onlyForAsker);
  interaction.originalId = message.id;
  acknowledge(call, interaction, how);
  return addMessage(call.inside, channelOf(call, interaction), message);
}

function update(call: Call, interaction: Interaction, how: 'update' | 'later update', data: Wire): Message | undefined {
  const channel = channelOf(call, interaction);
  const before = messageById(call.inside.world, channel.id, interaction.onMessageId ?? '');
  if (interaction.onMessageId === undefined) refuseForm([{ path: 'type', message: 'There is no message to update.' }]);
  const after = how === 'update' && before ? rewritten(call, channel, before, data, { answer: true }) : before;
  interaction.originalId = interaction.onMessageId;
  acknowledge(call, interaction, how);
  return how === 'update' && after ? changeMessage(call.inside, channel, after, interaction.id) : after;
}

function openForm(call: Call, interaction: Interaction, data: Wire): void {
  checkForm(data);
  const components = numbered(list(data['components'])) as unknown as readonly Part[];
  interaction.form = { customId: text(data['custom_id']), title: text(data['title']), components, byId: interaction.byId, interactionId: interaction.id };
  acknowledge(call, interaction, 'form');
  call.inside.journal.note({ kind: 'form opened', interactionId: interaction.id, form: interaction.form });
}

function offer(call: Call, interaction: Interaction, data: Wire): void {
  const choices = list(data['choices']);
  refuseForm([
    ...(choices.length > 25 ? [{ path: 'data.choices', message: 'Must be 25 or fewer in length.' }] : []),
    ...choices.flatMap((choice, i) => within(`data.choices.${i}.name`, choice['name'], 1, 100)),
    ...choices.flatMap((choice, i) => (typeof choice['value'] === 'string' ? within(`data.choices.${i}.value`, choice['value'], 1, 100) : [])),
  ]);
  acknowledge(call, interaction, 'choices');
  call.inside.journal.note({ kind: 'choices offered', interactionId: interaction.id, choices: choices as unknown as readonly Choice[] });
}

function respond(call: Call, interaction: Interaction, how: Acknowledgement, data: Wire): Message | undefined {
  switch (how) {
    case 'reply':
    case 'later reply':
      return reply(call, interaction, how, data);
    case 'update':
    case 'later update':
      return update(call, interaction, how, data);
    case 'form':
      openForm(call, interaction, data);
      return undefined;
    case 'choices':
      offer(call, interaction, data);
      return undefined;
  }
}

function callback(call: Call): Reply {
  const { inside } = call;
  const body = bodyOf(call);
  const interaction = inside.interactions.waiting(param(call, 'interaction_id'), param(call, 'interaction_token'), inside.world.clock.now());
  const how = TYPE[Number(body['type'])];
  if (!how || !FITS[interaction.kind].includes(how)) throw refusals.form([{ path: 'type', message: `Not an answer to a ${interaction.kind}.` }]);
  const message = respond(call, interaction, how, (body['data'] ?? {}) as Wire);
  if (call.query.get('with_response') !== 'true') return done;
  const about = { id: interaction.id, type: { command: 2, press: 3, choices: 4, form: 5 }[interaction.kind], ...(message ? { response_message_id: message.id } : {}), response_message_loading: how === 'later reply', response_message_ephemeral: interaction.onlyForAsker };
  return ok({ interaction: about, ...(message ? { resource: { type: body['type'], message: messageWire(inside.world, message) } } : {}) });
}

const following = (call: Call): Interaction => call.inside.interactions.answered(param(call, 'webhook_token'), call.inside.world.clock.now());

function found(call: Call, interaction: Interaction): Message {
  const id = call.params['message_id'] ?? interaction.originalId ?? '';
  const message = messageById(call.inside.world, interaction.channelId, id);
  const mine = message && (message.interactionId === interaction.id || message.id === interaction.originalId);
  if (!mine) throw refusals.unknownMessage();
  return message;
}

function follow(call: Call): Reply {
  const interaction = following(call);
  const data = bodyOf(call);
  const original = messageById(call.inside.world, interaction.channelId, interaction.originalId ?? '');
  if (original && (original.flags & THINKING) !== 0) return fill(call, interaction, original, data);
  const message = answerMessage(call, interaction, data, (flagsOf(data) & PRIVATE) !== 0);
  return ok(show(call, addMessage(call.inside, channelOf(call, interaction), message)));
}

const show = (call: Call, message: Message): Wire => messageWire(call.inside.world, message);

function fill(call: Call, interaction: Interaction, before: Message, data: Wire): Reply {
  const channel = channelOf(call, interaction);
  const after = rewritten(call, channel, before, data, { answer: true });
  return ok(show(call, changeMessage(call.inside, channel, after, interaction.id)));
}

function editAnswer(call: Call): Reply {
  const interaction = following(call);
  return fill(call, interaction, found(call, interaction), bodyOf(call));
}

function eraseAnswer(call: Call): Reply {
  const interaction = following(call);
  removeMessage(call.inside, channelOf(call, interaction), found(call, interaction));
  return done;
}

const HOOK = '/webhooks/{webhook_id}/{webhook_token}';
export const interactionRoutes = [
  route('create_interaction_response', 'POST', '/interactions/{interaction_id}/{interaction_token}/callback', callback, 'open'),
  route('execute_webhook', 'POST', HOOK, follow, 'open'),
  route('get_original_webhook_message', 'GET', `${HOOK}/messages/@original`, (call) => ok(show(call, found(call, following(call)))), 'open'),
  route('update_original_webhook_message', 'PATCH', `${HOOK}/messages/@original`, editAnswer, 'open'),
  route('delete_original_webhook_message', 'DELETE', `${HOOK}/messages/@original`, eraseAnswer, 'open'),
  route('get_webhook_message', 'GET', `${HOOK}/messages/{message_id}`, (call) => ok(show(call, found(call, following(call)))), 'open'),
  route('update_webhook_message', 'PATCH', `${HOOK}/messages/{message_id}`, editAnswer, 'open'),
  route('delete_webhook_message', 'DELETE', `${HOOK}/messages/{message_id}`, eraseAnswer, 'open'),
] as const;
