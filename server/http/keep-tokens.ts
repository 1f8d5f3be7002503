import type { FastifyReply, FastifyRequest } from 'fastify';
import type { Tokens } from '../actions/access/sign-in.ts';
import { DEVICE_COOKIE, SESSION_COOKIE } from '../contract/identity.ts';

/** A kiosk stays paired until it is revoked; a browser forgets a cookie after 400 days at most. */
const DEVICE_COOKIE_S = 400 * 86_400;

/** Has the browser keep what it was given by signing in or being paired. */
export function keepTokens(request: FastifyRequest, reply: FastifyReply, tokens: Partial<Omit<Tokens, 'code'>>): void {
  const options = { path: '/', httpOnly: true, sameSite: 'strict' as const, secure: request.protocol === 'https' };
  if (tokens.session) void reply.setCookie(SESSION_COOKIE, tokens.session, options);
  if (tokens.device) void reply.setCookie(DEVICE_COOKIE, tokens.device, { ...options, maxAge: DEVICE_COOKIE_S });
}
