import type { FastifyRequest } from 'fastify';
import type { z } from 'zod';
import { StationhandError } from '../contract/errors.ts';

/** The body of a request about people and devices. Throws `malformedBody` or `weakPassword`. */
export function bodyOf<S extends z.ZodType>(shape: S, request: FastifyRequest): z.output<S> {
  const parsed = shape.safeParse(request.body);
  if (parsed.success) return parsed.data;
  const [first] = parsed.error.issues;
  const where = first && first.path.length > 0 ? first.path.join('.') : 'the body';
  // What was sent may hold a secret: only the rule is said.
  throw new StationhandError(where === 'password' ? 'weakPassword' : 'malformedBody', { what: `${where}: ${first?.message ?? 'is not as it should be'}.`, where });
}
