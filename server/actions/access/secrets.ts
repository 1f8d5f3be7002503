import { createHash, randomBytes, randomInt } from 'node:crypto';
import { hash, verify } from '@node-rs/argon2';

/** `Algorithm.Argon2id` of the package, whose enumeration has no value at run time. */
const ARGON2ID = 2;
/** The least that the OWASP Password Storage Cheat Sheet gives for argon2id: 19 MiB, two passes, one lane (from memory). */
const ARGON = { algorithm: ARGON2ID, memoryCost: 19_456, timeCost: 2, parallelism: 1 };
const TOKEN_BYTES = 32;
/** Without characters that are taken for each other: 31 signs, so eight of them hold 39 bits. */
const SIGNS = '23456789ABCDEFGHJKLMNPQRSTUVWXY';
const CODE_SIGNS = 8;

/** 256 random bits, as a cookie or an address carries them. */
export function newToken(): string {
  return randomBytes(TOKEN_BYTES).toString('base64url');
}

/** A code of eight signs that a person reads from one screen and types at another. */
export function newCode(): string {
  return Array.from({ length: CODE_SIGNS }, () => SIGNS[randomInt(SIGNS.length)]).join('');
}

/** As a token or code is kept: what is random needs no slow hash. */
export function hashOf(secret: string): Buffer {
  return createHash('sha256').update(secret).digest();
}

export function hashPassword(password: string): Promise<string> {
  return hash(password.normalize('NFC'), ARGON);
}

let nobody: Promise<string> | null = null;

/** Whether `password` is the one of `kept`. Without one it takes as long, so that nobody learns who is known here. */
export async function isPassword(kept: string | null, password: string): Promise<boolean> {
  nobody ??= hashPassword(newToken());
  const right = await verify(kept ?? (await nobody), password.normalize('NFC'));
  return right && kept !== null;
}
