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

/** Who changes something, and from which device. Throws `noIdentity` when nobody is signed in. */
export function identityOf(request: FastifyRequest): Identity {
  return identityOfCaller(callerOf(request));
}
