import { v7 } from 'uuid';
import type { DeviceListed, PairingCode, PairingCodeReply, Pairing } from '../../contract/access.ts';
import { StationhandError } from '../../contract/errors.ts';
import type { Instant } from '../../core/units.ts';
import { deviceOf, insertDevice, insertPairingCode, lastOfCode, listDevices, type PairingCodeRow, revokeDevice, takePairingCode } from '../../store/access/devices.ts';
import type { Tx } from '../../store/database.ts';
import type { AccessParts } from './access-parts.ts';
import type { Caller } from './caller.ts';
import { hashOf, newCode, newToken } from './secrets.ts';

const CODE_MS = 10 * 60_000;

export interface LetIn {
  id: string;
  code: string;
  token: string;
}

interface NewLetIn {
  code: string;
  plant: string | null;
  name: string;
  stations: string[] | null;
  pairedBy: string | null;
}

/**
 * Lets the caller's browser in as a device. It keeps the code that it asks for when nobody else has it, so that what it has not sent yet still counts.
 * `proven`: it is known to be the one that had the code, though it lost the token; who has that is let out.
 */
export async function letIn(tx: Tx, caller: Caller, wanted: NewLetIn, now: Instant, proven = false): Promise<LetIn> {
  const own = proven || caller.device?.code === wanted.code;
  const code = own || !(await lastOfCode(tx, wanted.code)) ? wanted.code : `kiosk-${v7()}`;
  const made = { id: v7(), code, token: newToken() };
  await insertDevice(tx, { ...wanted, id: made.id, code, tokenHash: hashOf(made.token) }, now);
  return made;
}

/** A code that pairs one kiosk with the plant within ten minutes. */
export async function makePairingCode(parts: AccessParts, caller: Caller, plant: string, { name, stations }: PairingCode): Promise<PairingCodeReply> {
  return keepCode(parts, caller, { plant, device: null, name, stations });
}

/** A code that pairs the kiosk again within ten minutes, under the code that its facts carry, and no other device. Throws `unknownDevice`. */
export async function makePairAgainCode(parts: AccessParts, caller: Caller, plant: string, id: string): Promise<PairingCodeReply> {
  const device = await deviceOf(parts.db, plant, id);
  if (!device) throw new StationhandError('unknownDevice');
  return keepCode(parts, caller, { plant, device: device.code, name: device.name, stations: device.stations });
}

async function keepCode(parts: AccessParts, caller: Caller, of: Omit<PairingCodeRow, 'madeBy'>): Promise<PairingCodeReply> {
  const code = newCode();
  const until = parts.now() + CODE_MS;
  await insertPairingCode(parts.db, { ...of, hash: hashOf(code), madeBy: caller.session!.person.id, until }, parts.now());
  await parts.audit(caller, of.plant, 'pairingCodeMade', { name: of.name, stations: of.stations, ...(of.device === null ? {} : { again: of.device }) });
  return { code, until };
}

/**
 * Pairs the caller's browser by a code that a supervisor shows. Throws `codeNotGood`, and `pairAgain` for a kiosk that lost its token and has facts that
 * another code would leave behind: then the code is still good.
 */
export async function pair(parts: AccessParts, caller: Caller, { code, device, waiting }: Pairing): Promise<LetIn & { plant: string }> {
  const now = parts.now();
  const paired = await parts.db.transaction().execute(async (tx) => {
    const taken = await takePairingCode(tx, hashOf(code.toUpperCase().replace(/[\s-]/g, '')), now);
    if (!taken) throw new StationhandError('codeNotGood');
    const { plant, name, stations, madeBy, device: again } = taken;
    if (again !== null && again !== device) throw new StationhandError('codeNotGood', { what: `This code pairs ${name} again, and this is another device.` });
    if (again === null && waiting && caller.device?.code !== device && ((await lastOfCode(tx, device))?.plant ?? null) !== null) throw new StationhandError('pairAgain');
    return { ...(await letIn(tx, caller, { code: device, plant, name, stations, pairedBy: madeBy }, now, again !== null)), plant, name };
  }).catch(async (error: unknown) => {
    if (error instanceof StationhandError) await parts.audit(caller, null, 'pairingRefused', { why: error.code });
    throw error;
  });
  parts.memory.changed();
  await parts.audit(caller, paired.plant, 'devicePaired', { device: paired.code, name: paired.name });
  return paired;
}

/** Pairs the caller's browser with the demo plant, for every station. */
export async function pairWithDemo(parts: AccessParts, caller: Caller, plant: string, device: string): Promise<LetIn & { plant: string }> {
  const now = parts.now();
  const made = await parts.db.transaction().execute((tx) => letIn(tx, caller, { code: device, plant, name: 'Demo kiosk', stations: null, pairedBy: null }, now));
  parts.memory.changed();
  await parts.audit(caller, plant, 'devicePaired', { device: made.code, name: 'Demo kiosk' });
  return { ...made, plant };
}

export function devicesOf({ db }: AccessParts, plant: string): Promise<DeviceListed[]> {
  return listDevices(db, plant);
}

/** The kiosk is let out: what it stated until now still counts, nothing after. Throws `unknownDevice`. */
export async function revoke(parts: AccessParts, caller: Caller, plant: string, id: string): Promise<void> {
  const by = caller.session?.person.id ?? null;
  const revoked = await parts.db.transaction().execute((tx) => revokeDevice(tx, plant, id, by, parts.now()));
  if (!revoked) throw new StationhandError('unknownDevice');
  parts.memory.changed();
  await parts.audit(caller, plant, 'deviceRevoked', { device: revoked.code, name: revoked.name });
}
