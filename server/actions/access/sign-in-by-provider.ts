import type { ProviderOutcome, ProviderSignInBegun } from '../../contract/access.ts';
import { StationhandError } from '../../contract/errors.ts';
import { insertProviderSignIn, type ProviderSignIn, takeProviderSignIn } from '../../store/access/provider-sign-ins.ts';
import { personByLogin } from '../../store/access/people.ts';
import { endSession } from '../../store/access/sessions.ts';
import type { AccessParts } from './access-parts.ts';
import type { Caller } from './caller.ts';
import { newExpected, type Provider, ProviderError } from './provider.ts';
import { hashOf, newToken } from './secrets.ts';
import { begin, type Tokens } from './sign-in.ts';

/** Whoever has not signed in at the provider by then begins anew. */
export const AT_PROVIDER_MS = 10 * 60_000;

/** How a sign-in by the provider ended; tokens when somebody is signed in. */
export interface Ended {
  outcome: ProviderOutcome;
  tokens: Tokens | null;
}

/**
 * Begins a sign-in at the provider: the address to go to, and the token by which its answer is known to be this browser's. Throws `providerAway`
 * when the provider cannot be asked, `unknownRoute` when the plant has none.
 */
export async function goToProvider(parts: AccessParts, caller: Caller, device: string): Promise<ProviderSignInBegun & { token: string }> {
  const provider = providerOf(parts);
  const expected = newExpected();
  const address = await provider.address(expected).catch((error: unknown) => {
    if (!(error instanceof ProviderError)) throw error;
    parts.log(`sign-in by ${provider.name}: ${error.why}: ${error.message}`);
    throw new StationhandError(error.why === 'providerSettings' ? 'providerSettings' : 'providerAway');
  });
  const token = newToken();
  const now = parts.now();
  // The browser does not send its strict cookies along when it comes back from another site: what they say is kept here.
  const kept: ProviderSignIn = { ...expected, device: caller.device?.id ?? null, code: device, ends: caller.session?.hash ?? null };
  await insertProviderSignIn(parts.db, hashOf(token), kept, now + AT_PROVIDER_MS, now);
  return { address, token };
}

/** The browser came back from the provider with `query`, and holds `token` when it began here. */
export async function comeFromProvider(parts: AccessParts, { source }: Caller, token: string | null, query: string): Promise<Ended> {
  const provider = providerOf(parts);
  const kept = token === null ? null : await takeProviderSignIn(parts.db, hashOf(token), parts.now());
  const device = kept?.device ? ([...(await parts.memory.now()).byToken.values()].find(({ id }) => id === kept.device) ?? null) : null;
  const caller: Caller = { device, session: null, source };
  const refuse = async (outcome: ProviderOutcome, said = ''): Promise<Ended> => {
    await parts.audit(caller, null, 'signInRefused', { how: 'provider', why: outcome, ...(said ? { said: said.slice(0, 100) } : {}) });
    return { outcome, tokens: null };
  };
  if (!kept) return refuse('expired');
  let login: string | null;
  try {
    login = await provider.login(query, kept);
  } catch (error) {
    if (!(error instanceof ProviderError)) throw error;
    if (error.why !== 'cancelled') parts.log(`sign-in by ${provider.name}: ${error.why}: ${error.message}`);
    return refuse(error.why);
  }
  if (login === null) return refuse('noLogin');
  const person = await personByLogin(parts.db, login);
  if (!person) return refuse('unknownPerson', login);
  if (person.leftAt !== null) return refuse('left', login);
  if (kept.ends) await endSession(parts.db, kept.ends, parts.now());
  return { outcome: 'signedIn', tokens: await begin(parts, caller, person, 'provider', kept.code) };
}

function providerOf({ provider }: AccessParts): Provider {
  if (!provider) throw new StationhandError('unknownRoute', { what: 'This plant has no OpenID provider.' });
  return provider;
}
