import { X509Certificate } from 'node:crypto';
import { chmod, mkdtemp, readFile, rm, stat, writeFile } from 'node:fs/promises';
import { createServer, get } from 'node:https';
import type { AddressInfo } from 'node:net';
import { once } from 'node:events';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { TLSSocket } from 'node:tls';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { makeAuthority, makeCertificate } from '../../server/tls/authority.ts';
import { certificate } from '../../server/tls/certificates.ts';
import { namesOfThisMachine, ownCertificate } from '../../server/tls/own-certificate.ts';
import { keepRenewed } from '../../server/tls/renewal.ts';

const DAY = 86_400_000;
let folder: string;
beforeAll(async () => { folder = await mkdtemp(join(tmpdir(), 'stationhand-tls-')); });
afterAll(() => rm(folder, { recursive: true }));

/** The certificate that a client is served that trusts `authority` alone and calls the server by `name`. */
async function servedTo(port: number, name: string, authority: string): Promise<X509Certificate> {
  const request = get({ port, host: '127.0.0.1', servername: name, headers: { host: name }, ca: authority, agent: false });
  const [response] = await once(request, 'response');
  response.resume();
  return (response.socket as TLSSocket).getPeerX509Certificate()!;
}

describe('the program\'s own certificate', () => {
  it('is taken by a client that trusts its authority, for each of its names, and by no other', async () => {
    const { cert, key, authority } = await ownCertificate(join(folder, 'a'), ['line.plant.example', '127.0.0.1'], Date.now());
    const server = createServer({ cert, key }, (_, reply) => reply.end('ok')).listen(0, '127.0.0.1');
    await once(server, 'listening');
    const { port } = server.address() as AddressInfo;
    expect((await servedTo(port, 'line.plant.example', authority)).checkIP('127.0.0.1')).toBe('127.0.0.1');
    await expect(servedTo(port, 'other.plant.example', authority)).rejects.toThrow(/altnames/);
    const stranger = await makeAuthority('Somebody else', Date.now());
    await expect(servedTo(port, 'line.plant.example', stranger.cert)).rejects.toThrow(/verify|issuer|signature/);
    server.close();
  });

  it('is as RFC 5280 has it: an authority that signs servers and nothing more, and no longer than browsers take', async () => {
    const now = Date.UTC(2026, 0, 1);
    const authority = await makeAuthority('Plant', now);
    const own = new X509Certificate((await makeCertificate(authority, ['line.plant.example', '10.0.0.7'], now)).cert);
    const root = new X509Certificate(authority.cert);
    expect([root.ca, own.ca]).toEqual([true, false]);
    expect(own.verify(root.publicKey)).toBe(true);
    // Server authentication (RFC 5280, 4.2.1.12).
    expect(own.keyUsage).toEqual(['1.3.6.1.5.5.7.3.1']);
    expect(own.subjectAltName).toBe('DNS:line.plant.example, IP Address:10.0.0.7');
    expect((Date.parse(own.validTo) - Date.parse(own.validFrom)) / DAY).toBeLessThanOrEqual(398);
    expect(own.serialNumber).not.toBe(new X509Certificate((await makeCertificate(authority, ['x'], now)).cert).serialNumber);
  });

  it('stays until a month before its end or until a name is missing, and its authority stays', async () => {
    const at = join(folder, 'b');
    const now = Date.now();
    const first = await ownCertificate(at, ['one.example'], now);
    expect(await ownCertificate(at, ['one.example'], now + 366 * DAY)).toEqual(first);
    const renewed = await ownCertificate(at, ['one.example'], now + 368 * DAY);
    expect(renewed.authority).toBe(first.authority);
    expect(renewed.cert).not.toBe(first.cert);
    const named = await ownCertificate(at, ['one.example', 'two.example'], now + 368 * DAY);
    expect(new X509Certificate(named.cert).checkHost('two.example')).toBe('two.example');
  });

  it('keeps its keys to its user', async () => {
    const at = join(folder, 'c');
    await ownCertificate(at, ['one.example'], Date.now());
    for (const name of ['authority.key', 'server.key']) expect((await stat(join(at, name))).mode & 0o077).toBe(0);
    expect((await stat(at)).mode & 0o077).toBe(0);
  });

  it('is for every name and address that this machine may be called by', () => {
    expect(namesOfThisMachine(['Line.Plant.example'])).toEqual(expect.arrayContaining(['line.plant.example', 'localhost', '127.0.0.1', '::1']));
  });
});

describe('a given certificate', () => {
  it('is read with its key, and a wrong file is named', async () => {
    const authority = await makeAuthority('Plant', Date.now());
    const [one, two] = [await makeCertificate(authority, ['one.example'], Date.now()), await makeCertificate(authority, ['two.example'], Date.now())];
    const path = async (name: string, text: string): Promise<string> => {
      await writeFile(join(folder, name), text);
      return join(folder, name);
    };
    const [cert, key, other] = [await path('one.crt', one.cert), await path('one.key', one.key), await path('two.key', two.key)];
    expect(await certificate({ from: 'files', cert, key }, folder, Date.now())).toEqual({ ...one, authority: null });
    await expect(certificate({ from: 'files', cert, key: other }, folder, Date.now())).rejects.toThrow(/TLS_CERT=.*one\.crt and TLS_KEY=.*two\.key cannot be used together/);
    await expect(certificate({ from: 'files', cert: join(folder, 'none.crt'), key }, folder, Date.now())).rejects.toThrow(/TLS_CERT=.*none\.crt cannot be read: ENOENT/);
    await expect(certificate({ from: 'files', cert: await path('empty.crt', ''), key }, folder, Date.now())).rejects.toThrow(/TLS_CERT=.*empty\.crt holds no PEM/);
    await chmod(key, 0o600);
  });

  it('is served anew, without a restart, once its files are', async () => {
    const authority = await makeAuthority('Plant', Date.now());
    const [cert, key] = [join(folder, 'live.crt'), join(folder, 'live.key')];
    const put = async (): Promise<void> => {
      const pair = await makeCertificate(authority, ['one.example'], Date.now());
      await writeFile(key, pair.key);
      await writeFile(cert, pair.cert);
    };
    await put();
    const wish = { from: 'files', cert, key } as const;
    const first = await certificate(wish, folder, Date.now());
    const server = createServer(first, (_, reply) => reply.end('ok')).listen(0, '127.0.0.1');
    await once(server, 'listening');
    const { port } = server.address() as AddressInfo;
    const said: string[] = [];
    let stop = (): void => {};
    const renewed = new Promise<void>((resolve) => {
      stop = keepRenewed(server, first, wish, folder, Date.now, (message) => {
        said.push(message);
        if (message === 'A new certificate is served.') resolve();
      }, 20);
    });
    const before = await servedTo(port, 'one.example', authority.cert);
    await put();
    await renewed;
    stop();
    const after = await servedTo(port, 'one.example', authority.cert);
    expect(after.serialNumber).not.toBe(before.serialNumber);
    expect(after.toString()).toBe(new X509Certificate(await readFile(cert, 'utf8')).toString());
    server.close();
  });
});
