import { mkdir, readdir, readFile, rename, rm, stat, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { assertOutside } from './guard.ts';

/** A file below a café's folder: its name as it lies there, and how long ago it was written, in milliseconds by the machine's own clock. */
export type Lying = { readonly name: string; readonly age: number };

/** Files people sent, kept by café and id; never inside a transaction, for it may run twice. */
export type Files = {
  readonly keep: (cafe: string, id: string, bytes: Uint8Array) => Promise<void>;
  /** Undefined for what is not there any more. */
  readonly read: (cafe: string, id: string) => Promise<Uint8Array | undefined>;
  readonly forget: (cafe: string) => Promise<void>;
  /** What lies in a café's folder, half written files too; what nobody here can have written is left out. */
  readonly lying: (cafe: string) => Promise<readonly Lying[]>;
  /** Takes away one file by the name it lies there under; nothing where it has gone meanwhile. */
  readonly drop: (cafe: string, name: string) => Promise<void>;
};

const HALF = '.half';
const WRITTEN_HERE = /^[\w-]+(?:\.half)?$/;

const safe = (name: string): string => {
  if (!/^[\w-]+$/.test(name)) throw new RangeError(`not the name of a kept file: ${name}`);
  return name;
};

const none = (error: unknown): undefined => {
  if ((error as NodeJS.ErrnoException).code === 'ENOENT') return undefined;
  throw error;
};

const ageOf = async (file: string): Promise<number | undefined> => {
  const found = await stat(file).catch(none);
  return found && Date.now() - found.mtimeMs;
};

/** One folder a café below `folder`; a file is whole or not there. */
export const createFiles = (folder: string): Files => ({
  keep: async (cafe, id, bytes) => {
    assertOutside('keeping a file');
    const home = join(folder, safe(cafe));
    await mkdir(home, { recursive: true, mode: 0o700 });
    const half = join(home, `${safe(id)}${HALF}`);
    await writeFile(half, bytes, { mode: 0o600 });
    await rename(half, join(home, id));
  },
  read: async (cafe, id) => {
    const bytes = await readFile(join(folder, safe(cafe), safe(id))).catch(none);
    return bytes && new Uint8Array(bytes);
  },
  forget: async (cafe) => rm(join(folder, safe(cafe)), { recursive: true, force: true }),
  lying: async (cafe) => {
    const home = join(folder, safe(cafe));
    const found = (await readdir(home, { withFileTypes: true }).catch(none)) ?? [];
    const names = found.filter((entry) => entry.isFile() && WRITTEN_HERE.test(entry.name)).map(({ name }) => name);
    const aged = await Promise.all(names.map(async (name) => ({ name, age: await ageOf(join(home, name)) })));
    return aged.flatMap(({ name, age }) => (age === undefined ? [] : [{ name, age }]));
  },
  drop: async (cafe, name) => {
    if (!WRITTEN_HERE.test(name)) throw new RangeError(`not the name of a kept file: ${name}`);
    await rm(join(folder, safe(cafe), name), { force: true });
  },
});

/** For a process without a folder of its own. */
export const memoryFiles = (): Files => {
  const kept = new Map<string, Uint8Array>();
  return {
    keep: async (cafe, id, bytes) => void kept.set(`${cafe}/${id}`, bytes),
    read: async (cafe, id) => kept.get(`${cafe}/${id}`),
    forget: async (cafe) => [...kept.keys()].filter((name) => name.startsWith(`${cafe}/`)).forEach((name) => kept.delete(name)),
    lying: async (cafe) => [...kept.keys()].filter((name) => name.startsWith(`${cafe}/`)).map((name) => ({ name: name.slice(cafe.length + 1), age: 0 })),
    drop: async (cafe, name) => void kept.delete(`${cafe}/${name}`),
  };
};
