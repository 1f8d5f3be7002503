import { X509Certificate } from 'node:crypto';
import { mkdir, readFile, rename, writeFile } from 'node:fs/promises';
import { isIP } from 'node:net';
import { hostname, networkInterfaces } from 'node:os';
import { join } from 'node:path';
import { type KeyPairPem, makeAuthority, makeCertificate } from './authority.ts';

/** A certificate is made anew when so little of its time is left. */
const RENEWED_BEFORE_MS = 30 * 86_400_000;

/** The names and addresses that this machine may be called by in its network, and those of `more`. */
export function namesOfThisMachine(more: readonly string[]): string[] {
  const addresses = Object.values(networkInterfaces()).flatMap((own) => own ?? []).map(({ address }) => address.split('%')[0]!);
  return [...new Set([...more, hostname(), 'localhost', ...addresses, '127.0.0.1', '::1'].map((name) => name.toLowerCase()))];
}

/**
 * The program's own certificate, from an authority of its own, kept in `folder` readable to its user alone. The authority is made once; the certificate
 * when there is none, when one of `names` is not in it, or a month before it ends. `authority` is what a tablet is to trust (PEM).
 */
export async function ownCertificate(folder: string, names: readonly string[], now: number): Promise<KeyPairPem & { authority: string }> {
  await mkdir(folder, { recursive: true, mode: 0o700 });
  const authority = await kept(folder, 'authority') ?? await keep(folder, 'authority', await makeAuthority(`Stationhand on ${hostname()}`, now));
  const before = await kept(folder, 'server');
  const pair = before && serves(before, authority, names, now) ? before : await keep(folder, 'server', await makeCertificate(authority, names, now));
  return { ...pair, authority: authority.cert };
}

function serves({ cert }: KeyPairPem, authority: KeyPairPem, names: readonly string[], now: number): boolean {
  const own = new X509Certificate(cert);
  const named = names.every((name) => (isIP(name) === 0 ? own.checkHost(name) : own.checkIP(name)) !== undefined);
  return named && own.checkIssued(new X509Certificate(authority.cert)) && Date.parse(own.validTo) - now > RENEWED_BEFORE_MS;
}

async function kept(folder: string, name: string): Promise<KeyPairPem | null> {
  try {
    const [cert, key] = await Promise.all([readFile(join(folder, `${name}.crt`), 'utf8'), readFile(join(folder, `${name}.key`), 'utf8')]);
    return { cert, key };
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return null;
    throw error;
  }
}

/** The key first: a certificate whose key is missing would be kept for ever. */
async function keep(folder: string, name: string, pair: KeyPairPem): Promise<KeyPairPem> {
  for (const [ending, text] of [['key', pair.key], ['crt', pair.cert]] as const) {
    const path = join(folder, `${name}.${ending}`);
    await writeFile(`${path}.new`, text, { mode: 0o600 });
    await rename(`${path}.new`, path);
  }
  return pair;
}
