// Draws every picture of the chat, and the wall page, with invented data into docs/pictures, to be looked at.
import { mkdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { spawnSync } from 'node:child_process';
import { seedDemo } from '../dist/cafe/demo.js';
import { createSheet } from '../dist/reports/sheet.js';
import { planDuties } from '../dist/routine/duties.js';
import { readRoutine } from '../dist/routine/standard.js';
import { readUsual } from '../dist/routine/usual.js';
import { sealConstants } from '../dist/seals/constants.js';
import { driftPictureOf } from '../dist/seals/drift-picture.js';
import { handlesPicture, screensPicture, sealUpPicture } from '../dist/seals/drawings.js';
import { assumedPrior } from '../dist/seals/life.js';
import { forecastGroups, nextSize, nextStack } from '../dist/seals/record-forecast.js';
import { recordMessage } from '../dist/seals/record-views.js';
import { sealsOn } from '../dist/seals/shelf.js';
import { sizesPictureOf } from '../dist/seals/size-picture.js';
import { createIds } from '../dist/store/id.js';
import { openStore } from '../dist/store/open.js';
import { transact } from '../dist/store/transact.js';
import { createWords, readTexts } from '../dist/words/catalogue.js';

import { phonePicture } from './phone-picture.mjs';

const folder = process.argv[2] ?? 'docs/pictures';
mkdirSync(folder, { recursive: true });
const words = createWords(readTexts('config/words'));
const say = words.in('en');
const show = { say, reader: { locale: 'en', zone: 'Europe/Madrid' } };
const constants = sealConstants(readFileSync('config/seals.yaml', 'utf8'));
const now = Date.parse('2027-03-11T06:20:00Z');
const DAY = 86_400_000;
const lines = ['# Pictures', '', 'Drawn by `npm run draw` with invented data. Below each: what somebody is told who cannot see it.', ''];

const keep = (name, bytes, alt) => {
  writeFileSync(join(folder, name), bytes);
  lines.push(`## ${name}`, `![${name}](${name})`, '', alt, '');
  console.log(`${name}: ${(statSync(join(folder, name)).size / 1000).toFixed(0)} kB`);
};

keep('five-handles.png', await handlesPicture(say), say('look.picture.handles'));
keep('seal-which-way-up.png', await sealUpPicture(say), say('drawing.seal.alt'));
keep('three-screens.png', await screensPicture(say), say('drawing.screen.alt'));

/** A seal fitted so many days ago, its handle read every week. */
const history = (age, degrees) => ({
  seals: [{ fittedAt: now - age * DAY, metAt: now - age * DAY, outAt: null, sizeMm: 8, shimMm: 0, material: 'rubber', whyOut: null, cameOut: null }],
  readings: degrees.flatMap((value, i) => {
    const at = now - (degrees.length - 1 - i) * 7 * DAY;
    return [['handle', String(value)], ['feel', 'soft'], ['finger', 'clean']].map(([what, word]) => ({ what, value: word, state: 'cold', at, look: `look${i}` }));
  }),
});
const histories = [history(98, [-15, -15, -15, 0, -15, 0, 0, 0, 0, 15, 0, 15, 15, 15]), history(28, [-15, -15, -15, -15])];
const forecasts = forecastGroups(histories, () => 1, assumedPrior(constants.life), constants, now);
const [drift] = driftPictureOf(show, { group: 1, history: histories[0], forecast: forecasts[0] }, constants, now);
keep('handle-over-time.png', await drift.draw(), drift.alt);
const sizeHistory = history(20, [-15, -15]);
const fit = nextSize(sizeHistory, [], constants, now);
const shelf = sealsOn(new Map([['seal-8', { onHand: 2, onOrder: 0, unsure: false, countedAt: now }]]));
const [sizes] = sizesPictureOf(show, { group: 1, history: sizeHistory, fit, next: nextStack(sizeHistory, fit, constants, now) }, shelf, constants);
keep('sizes-side-by-side.png', await sizes.draw(), sizes.alt);
const groups = histories.map((each, i) => ({ group: i + 1, machine: 'm', fitting: null, sizeMm: 8, shimMm: 0, screen: null, screenSince: null, forecast: forecasts[i], fit: undefined, next: undefined, looks: 4 }));
const [life] = recordMessage(show, { cafe: 'c', name: 'Lantern Street', now, groups }).pictures;
keep('seals-left.png', await life.draw(), life.alt);

const store = await openStore({});
const ids = createIds();
const jobs = readRoutine('config/routine.yaml');
const usual = readUsual('config/use.yaml');
const cafe = await transact(store, [], (tx) => seedDemo(tx, ids, now, (t, id, at) => planDuties(t, ids, jobs, usual, id, at)));
const answer = await createSheet({ store, words, jobs }).presses[0].take({ now, locale: 'en', press: { kind: 'sheet.page', ids: [cafe] } });
writeFileSync(join(folder, 'wall-page.pdf'), answer.message.files[0].bytes);
await store.close();
const rendered = spawnSync('pdftoppm', ['-r', '90', '-png', '-singlefile', join(folder, 'wall-page.pdf'), join(folder, 'wall-page')]);
if (rendered.status === 0) lines.push('## wall-page.pdf', '![wall-page.png](wall-page.png)', '', 'The page for the wall, as pdftoppm renders it.', '');
else console.log('pdftoppm is not there: the wall page was written, not rendered');
const page = readFileSync('docs/handoff.md', 'utf8');
const posted = (name) => new RegExp(`<!-- ${name} -->\n\`\`\`\n([^\`]+)\n\`\`\``).exec(page)[1].split('\n');
const phone = async (name, blocks) => {
  const shown = blocks.map(posted);
  keep(name, await phonePicture(shown), shown.map((each) => each.filter((line) => !line.startsWith('[')).join(' ')).join(' / '));
};
await phone('handoff-on-a-phone.png', ['asked', 'taken', 'closed']);
await phone('handoff-urgent-on-a-phone.png', ['urgent', 'urgent-taken', 'urgent-closed', 'urgent-free']);
writeFileSync(join(folder, 'README.md'), lines.join('\n'));
