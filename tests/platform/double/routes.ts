import type { Inside } from './inside.ts';
import type { Wire } from './wire-places.ts';

export type Upload = { readonly name: string; readonly type: string; readonly bytes: Uint8Array };
/** One request of the bot, taken apart. */
export type Call = {
  readonly inside: Inside;
  readonly params: Readonly<Record<string, string>>;
  readonly query: URLSearchParams;
  readonly body: unknown;
  /** By the number in `files[n]`. */
  readonly files: ReadonlyMap<number, Upload>;
};
export type Reply = { readonly status: 200 | 201 | 204; readonly body?: unknown };
/** Named and written as in the published description of the platform's HTTP interface. */
export type Route = {
  readonly name: string;
  readonly method: 'GET' | 'POST' | 'PUT' | 'PATCH' | 'DELETE';
  readonly path: string;
  /** True: the token in the path stands for the login. */
  readonly open?: true;
  readonly handle: (call: Call) => Reply;
};
export const route = <Name extends string>(
  name: Name, method: Route['method'], path: string, handle: Route['handle'], open?: 'open',
): Route & { readonly name: Name } => ({ name, method, path, handle, ...(open ? { open: true } : {}) });

export const done: Reply = { status: 204 };
export const ok = (body: unknown): Reply => ({ status: 200, body });
export const bodyOf = (call: Call): Wire => (call.body ?? {}) as Wire;
export const param = (call: Call, name: string): string => call.params[name] ?? '';

export type Matcher = (method: string, path: string) => { readonly route: Route; readonly params: Record<string, string> } | undefined;

/** The first route wins, so literal paths stand before those with a hole in the same place. */
export function matcher(routes: readonly Route[]): Matcher {
  const compiled = routes.map((one) => {
    const names = [...one.path.matchAll(/\{(\w+)\}/g)].map((match) => match[1] ?? '');
    const pattern = new RegExp(`^${one.path.replaceAll(/\{\w+\}/g, '([^/]+)')}$`);
    return { one, names, pattern };
  });
  return (method, path) => {
    for (const { one, names, pattern } of compiled) {
      const found = one.method === method ? pattern.exec(path) : null;
      if (!found) continue;
      return { route: one, params: Object.fromEntries(names.map((name, i) => [name, decodeURIComponent(found[i + 1] ?? '')])) };
    }
    return undefined;
  };
}
