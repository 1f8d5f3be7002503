// The library's containers need it before anything of theirs is loaded.
import 'reflect-metadata';
import { isIP } from 'node:net';
import { randomBytes, webcrypto } from 'node:crypto';
import * as x509 from '@peculiar/x509';

const DAY_MS = 86_400_000;
/** As long as the plant's tablets are to trust it without being touched again. */
const AUTHORITY_DAYS = 3_650;
/** The longest that browsers take: 398 days (CA/Browser Forum, Baseline Requirements 6.3.2). */
const CERTIFICATE_DAYS = 397;
const ALGORITHM = { name: 'ECDSA', namedCurve: 'P-256', hash: 'SHA-256' };

/** A certificate and its key, both PEM; the key in PKCS #8. */
export interface KeyPairPem {
  cert: string;
  key: string;
}

/** The plant's own certificate authority: what its tablets are told to trust, once. Valid from a day before `from`, for clocks that are behind. */
export async function makeAuthority(name: string, from: number): Promise<KeyPairPem> {
  const keys = await newKeys();
  const cert = await x509.X509CertificateGenerator.createSelfSigned({
    serialNumber: serialNumber(), name: [{ CN: [name] }], notBefore: new Date(from - DAY_MS), notAfter: new Date(from + AUTHORITY_DAYS * DAY_MS), keys, signingAlgorithm: ALGORITHM,
    extensions: [
      new x509.BasicConstraintsExtension(true, 0, true), new x509.KeyUsagesExtension(x509.KeyUsageFlags.keyCertSign | x509.KeyUsageFlags.cRLSign, true),
      await x509.SubjectKeyIdentifierExtension.create(keys.publicKey),
    ],
  });
  return { cert: cert.toString('pem'), key: await keyPem(keys.privateKey) };
}

/** A server's certificate for `names` (host names and addresses; the first is its common name), signed by `authority`. */
export async function makeCertificate(authority: KeyPairPem, names: readonly string[], from: number): Promise<KeyPairPem> {
  const issuer = new x509.X509Certificate(authority.cert);
  const signingKey = await webcrypto.subtle.importKey('pkcs8', x509.PemConverter.decodeFirst(authority.key), ALGORITHM, false, ['sign']);
  const keys = await newKeys();
  const cert = await x509.X509CertificateGenerator.create({
    serialNumber: serialNumber(), subject: [{ CN: [names[0]!] }], issuer: issuer.subject, notBefore: new Date(from - DAY_MS), notAfter: new Date(from + CERTIFICATE_DAYS * DAY_MS),
    publicKey: keys.publicKey, signingKey, signingAlgorithm: ALGORITHM,
    extensions: [
      new x509.BasicConstraintsExtension(false, undefined, true), new x509.KeyUsagesExtension(x509.KeyUsageFlags.digitalSignature, true),
      new x509.ExtendedKeyUsageExtension([x509.ExtendedKeyUsage.serverAuth]),
      new x509.SubjectAlternativeNameExtension(names.map((name) => ({ type: isIP(name) === 0 ? 'dns' as const : 'ip' as const, value: name }))),
      await x509.AuthorityKeyIdentifierExtension.create(issuer.publicKey),
    ],
  });
  return { cert: cert.toString('pem'), key: await keyPem(keys.privateKey) };
}

function newKeys(): Promise<webcrypto.CryptoKeyPair> {
  return webcrypto.subtle.generateKey(ALGORITHM, true, ['sign', 'verify']);
}

async function keyPem(key: webcrypto.CryptoKey): Promise<string> {
  return x509.PemConverter.encode(await webcrypto.subtle.exportKey('pkcs8', key), 'PRIVATE KEY');
}

/** Positive, and at least 64 bits of chance in it (RFC 5280, 4.1.2.2). */
function serialNumber(): string {
  return `01${randomBytes(15).toString('hex')}`;
}
