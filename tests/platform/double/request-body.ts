import type { IncomingMessage } from 'node:http';
import { refusals } from './refusal.ts';
import type { Upload } from './routes.ts';

export type Taken = { readonly body: unknown; readonly files: ReadonlyMap<number, Upload>; readonly bytes: number };
const REQUEST_MOST = 25 * 1024 * 1024;

async function bytesOf(request: IncomingMessage): Promise<Buffer> {
  const chunks: Buffer[] = [];
  for await (const chunk of request) chunks.push(chunk as Buffer);
  return Buffer.concat(chunks);
}

async function fromForm(type: string, bytes: Buffer): Promise<Taken> {
  const form = await new Response(new Uint8Array(bytes), { headers: { 'content-type': type } }).formData();
  const files = new Map<number, Upload>();
  for (const [key, value] of form) {
    const n = /^files\[(\d+)\]$/.exec(key)?.[1];
    if (n === undefined || typeof value === 'string') continue;
    files.set(Number(n), { name: value.name, type: value.type, bytes: new Uint8Array(await value.arrayBuffer()) });
  }
  const payload = form.get('payload_json');
  return { body: typeof payload === 'string' ? JSON.parse(payload) : {}, files, bytes: bytes.length };
}

/** JSON or multipart, as the platform takes both. */
export async function takeBody(request: IncomingMessage): Promise<Taken> {
  const bytes = await bytesOf(request);
  const type = request.headers['content-type'] ?? '';
  if (type.startsWith('multipart/form-data')) return fromForm(type, bytes);
  return { body: bytes.length > 0 ? JSON.parse(bytes.toString('utf8')) : undefined, files: new Map(), bytes: bytes.length };
}

export function checkSize(taken: Taken): void {
  if (taken.bytes > REQUEST_MOST) throw refusals.tooLarge();
}
