import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { createSecureContext } from 'node:tls';
import { namesOfThisMachine, ownCertificate } from './own-certificate.ts';

/** Where the certificate of the program comes from. */
export type HttpsWish = { from: 'own'; names: string[] } | { from: 'files'; cert: string; key: string };

export interface Certificate {
  /** PEM; of a given one with those between it and the authority that browsers know. */
  cert: string;
  key: string;
  /** The program's own authority, for tablets to trust (PEM); null for a given certificate. */
  authority: string | null;
}

/** The certificate as it is now; renewed or made when it is the program's own. A file that cannot be used is an error that names it. */
export async function certificate(wish: HttpsWish, dataDir: string, now: number): Promise<Certificate> {
  if (wish.from === 'own') return ownCertificate(join(dataDir, 'tls'), namesOfThisMachine(wish.names), now);
  const [cert, key] = await Promise.all([readPem('TLS_CERT', wish.cert), readPem('TLS_KEY', wish.key)]);
  try {
    createSecureContext({ cert, key });
  } catch (error) {
    throw new Error(`TLS_CERT=${wish.cert} and TLS_KEY=${wish.key} cannot be used together: ${(error as Error).message}. Give a certificate and its own key, both PEM.`, { cause: error });
  }
  return { cert, key, authority: null };
}

async function readPem(name: string, path: string): Promise<string> {
  let text: string;
  try {
    text = await readFile(path, 'utf8');
  } catch (error) {
    throw new Error(`${name}=${path} cannot be read: ${(error as NodeJS.ErrnoException).code ?? String(error)}. Give the path of a PEM file.`, { cause: error });
  }
  // One that is being written is empty for a moment, and an empty certificate would be taken for none.
  if (!text.includes('-----BEGIN ')) throw new Error(`${name}=${path} holds no PEM. Give the path of a PEM file.`);
  return text;
}
