// A chat platform that outlives the bot: what it has taken stays, whatever happens to the process that sent it.
import Database from 'better-sqlite3';
import { join } from 'node:path';
import { ChatRefused } from '../../dist/chat/port.js';

/** Shorter than the longest pause between two lives of the bot, so both ways of recognising a repeat are used. */
export const NONCE_WINDOW = 120_000;

const TABLES = `
  create table if not exists message (id integer primary key, place text, nonce text, at integer, first text, now text);
  create table if not exists taken (event text primary key, who text, what text, reminder text, jobs text, at integer, seen text);
  create table if not exists progress (id integer primary key check (id = 0), step integer, now integer);`;

export const openPlatform = (folder) => {
  const db = new Database(join(folder, 'platform.sqlite'));
  db.pragma('journal_mode = wal');
  db.exec(TABLES);
  return db;
};

export const pressesOf = (message) => (message.rows ?? []).flatMap((row) => ('from' in row ? [row.press] : row.flatMap((each) => ('press' in each ? [each.press] : []))));

const sameMessage = (a, b) => JSON.stringify([a.lines, pressesOf(a)]) === JSON.stringify([b.lines, pressesOf(b)]);

/**
 * `forgetful`: repeats are never recognised, neither by nonce nor by looking back; a bot cannot be exact on such a platform.
 * `unreadable`: the bot may not look back in a place.
 */
export const createPlatform = (db, clock, { forgetful, unreadable, beforeSend, afterSend, beforeEdit, afterEdit }) => {
  const known = db.prepare('select id from message where place = ? and nonce = ? and at > ?');
  const keep = db.prepare('insert into message (place, nonce, at, first, now) values (?, ?, ?, ?, ?)');
  const change = db.prepare('update message set now = ? where id = ?');
  const since = db.prepare('select id, now from message where place = ? and at >= ? order by id');
  return {
    nonceWindow: NONCE_WINDOW,
    send: async (place, message, { nonce }) => {
      beforeSend();
      const there = forgetful ? undefined : known.get(place, nonce, clock.now() - NONCE_WINDOW);
      const text = JSON.stringify(message);
      const id = there?.id ?? Number(keep.run(place, nonce, clock.now(), text, text).lastInsertRowid);
      afterSend();
      return String(id);
    },
    edit: async (_place, id, message) => {
      beforeEdit();
      if (change.run(JSON.stringify(message), Number(id)).changes === 0) throw new ChatRefused({ why: 'message-gone' });
      afterEdit();
    },
    remove: async (_place, id) => void db.prepare('delete from message where id = ?').run(Number(id)),
    find: async (place, message, from) => {
      if (unreadable) return { kind: 'unreadable' };
      const found = forgetful ? undefined : since.all(place, from).find(({ now }) => sameMessage(JSON.parse(now), message));
      return found ? { kind: 'found', id: String(found.id) } : { kind: 'not-found' };
    },
  };
};
