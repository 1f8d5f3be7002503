import type { FastifyRequest } from 'fastify';
import { type Caller, identityOf as identityOfCaller } from '../actions/access/caller.ts';
import { StationhandError } from '../contract/errors.ts';
import type { Identity } from '../contract/identity.ts';

declare module 'fastify' {
  interface FastifyRequest {
    caller: Caller | null;
  }
}

/** Who makes the request, as `guardRoutes` found it. */
export function callerOf(request: FastifyRequest): Caller {
  if (!request.caller) throw new StationhandError('noIdentity');
  return request.caller;
}

/** Who hands something in and from which device: the person who is signed in, else the kiosk itself. Throws `noIdentity` for neither. */
export function handedInBy(request: FastifyRequest): Identity {
  const { device, session } = callerOf(request);
  if (!session && device) return { who: device.name, device: device.code };
  return identityOf(request);
}

/** Who changes something, and from which device. Throws `noIdentity` when nobody is signed in. */
export function identityOf(request: FastifyRequest): Identity {
  return identityOfCaller(callerOf(request));
}
