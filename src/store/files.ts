import { mkdir, readFile, rename, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { assertOutside } from './guard.ts';

/** Files people sent, kept by café and id; never inside a transaction, for it may run twice. */
export type Files = {
  readonly keep: (cafe: string, id: string, bytes: Uint8Array) => Promise<void>;
  /** Undefined for what is not there any more. */
  readonly read: (cafe: string, id: string) => Promise<Uint8Array | undefined>;
  readonly forget: (cafe: string) => Promise<void>;
};

const safe = (name: string): string => {
  if (!/^[\w-]+$/.test(name)) throw new RangeError(`not the name of a kept file: ${name}`);
  return name;
};

/** One folder a café below `folder`; a file is whole or not there. */
export const createFiles = (folder: string): Files => ({
  keep: async (cafe, id, bytes) => {
    assertOutside('keeping a file');
    const home = join(folder, safe(cafe));
    await mkdir(home, { recursive: true, mode: 0o700 });
    const half = join(home, `${safe(id)}.half`);
    await writeFile(half, bytes, { mode: 0o600 });
    await rename(half, join(home, id));
  },
  read: async (cafe, id) => {
    try {
      return new Uint8Array(await readFile(join(folder, safe(cafe), safe(id))));
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code === 'ENOENT') return undefined;
      throw error;
    }
  },
  forget: async (cafe) => rm(join(folder, safe(cafe)), { recursive: true, force: true }),
});

/** For a process without a folder of its own. */
export const memoryFiles = (): Files => {
  const kept = new Map<string, Uint8Array>();
  return {
    keep: async (cafe, id, bytes) => void kept.set(`${cafe}/${id}`, bytes),
    read: async (cafe, id) => kept.get(`${cafe}/${id}`),
    forget: async (cafe) => [...kept.keys()].filter((name) => name.startsWith(`${cafe}/`)).forEach((name) => kept.delete(name)),
  };
};
