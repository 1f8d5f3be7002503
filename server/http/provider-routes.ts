import type { FastifyInstance, FastifyReply } from 'fastify';
import type { Actions } from '../actions/actions.ts';
import { isDatabaseAwayError } from '../actions/database-away.ts';
import { CALLBACK } from '../actions/access/provider.ts';
import { AT_PROVIDER_MS } from '../actions/access/sign-in-by-provider.ts';
import { type ProviderOutcome, providerSignInBody } from '../contract/access.ts';
import { StationhandError } from '../contract/errors.ts';
import { PROVIDER_COOKIE } from '../contract/identity.ts';
import { bodyOf } from './body-of.ts';
import { callerOf } from './caller-of.ts';
import { keepTokens } from './keep-tokens.ts';
import { TRIED } from './rate-limits.ts';
import { replyToError } from './reply-to-error.ts';

const KEPT_AT = '/api/oidc';

/** Signing in at the plant's OpenID provider: the way there, and back to the sign-in screen, which says how it ended. */
export function providerRoutes(app: FastifyInstance, { access }: Actions, log: (message: string) => void): void {
  app.post('/api/oidc/begin', { config: TRIED }, async (request, reply) => {
    const { device } = bodyOf(providerSignInBody, request);
    const { publicUrl } = access.provider ?? {};
    // Under another address the browser would not bring back what it was given here.
    if (publicUrl && request.headers.origin !== undefined && request.headers.origin !== publicUrl) {
      throw new StationhandError('wrongOrigin', { what: 'Signing in by the provider works at another address of this program.', whatToDo: `Open ${publicUrl}/ and sign in there.` });
    }
    const { address, token } = await access.goToProvider(callerOf(request), device);
    // Lax, for the way back begins at another site.
    void reply.setCookie(PROVIDER_COOKIE, token, { path: KEPT_AT, httpOnly: true, sameSite: 'lax', secure: publicUrl?.startsWith('https:') ?? false, maxAge: AT_PROVIDER_MS / 1_000 });
    return { address };
  });
  app.get(CALLBACK, {
    config: TRIED,
    // A person stands there, not a program: whatever fails is said on the screen. The address holds a code and is not written to the log.
    errorHandler: (error, _request, reply) => {
      const { status, reply: said, ours } = replyToError(error, isDatabaseAwayError);
      if (ours) log(`GET ${CALLBACK}: ${error.stack ?? error.message}`);
      if (said.error.code === 'unknownRoute') return reply.status(status).send(said);
      return backToSignIn(reply, status === 429 ? 'tooMany' : 'failed');
    },
  }, async (request, reply) => {
    const query = request.url.split('?').slice(1).join('?');
    const { outcome, tokens } = await access.comeFromProvider(callerOf(request), request.cookies[PROVIDER_COOKIE] ?? null, query);
    if (tokens) keepTokens(request, reply, { session: tokens.session, ...(tokens.device ? { device: tokens.device } : {}) });
    return backToSignIn(reply.clearCookie(PROVIDER_COOKIE, { path: KEPT_AT }), outcome);
  });
}

function backToSignIn(reply: FastifyReply, outcome: ProviderOutcome): FastifyReply {
  return reply.redirect(`/sign-in?provider=${outcome}`, 303);
}
