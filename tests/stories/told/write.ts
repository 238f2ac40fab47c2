import { mkdirSync, writeFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { embedded } from '../../store/databases.ts';
import { discordStage } from '../discord-stage.ts';
import { narrate } from './narrator.ts';
import { stories } from './stories.ts';

const FOLDER = process.env['TRANSCRIPTS'] ?? 'docs/transcripts';
const MADE = 'As people see it on the platform, told through the real client; everybody in it is invented. Made by `npx vitest run --config tools/vitest.transcripts.config.ts`.';

test.each(stories)('$name', async ({ name, title, about, tell, ...options }) => {
  const stage = await discordStage({ store: await embedded.open(), ...options });
  const story = narrate(stage, title, `${about}\n\n${MADE}`);
  await tell(story);
  await stage.close();
  mkdirSync(FOLDER, { recursive: true });
  writeFileSync(`${FOLDER}/${name}.md`, story.page());
  expect(story.page()).toContain('> ');
});
