import type { FastifyRequest } from 'fastify';
import { StationhandError } from '../contract/errors.ts';
import { type Identity, readIdentity } from '../contract/identity.ts';

/** Who makes the request, and from which device. Throws `noIdentity`. */
export function identityOf(request: FastifyRequest): Identity {
  const read = readIdentity(request.headers);
  if ('identity' in read) return read.identity;
  throw new StationhandError('noIdentity', read.problem.error);
}
