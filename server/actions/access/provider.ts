import * as client from 'openid-client';

/** The plant's OpenID provider, and what the program is to it. */
export interface ProviderSettings {
  issuer: string;
  clientId: string;
  clientSecret: string;
  /** As people call it. */
  name: string;
  /** Origin by which browsers reach the program. */
  publicUrl: string;
}

/** What an answer of the provider is held against. */
export interface Expected {
  state: string;
  nonce: string;
  codeVerifier: string;
}

/** Why a sign-in by the provider came to nothing, before anybody was looked for here. */
export type ProviderFailure = 'providerAway' | 'providerSettings' | 'cancelled' | 'notVerified';

export class ProviderError extends Error {
  constructor(readonly why: ProviderFailure, message: string) {
    super(message);
    this.name = 'ProviderError';
  }
}

export interface Provider {
  name: string;
  publicUrl: string;
  /** Address at the provider that a browser goes to. Throws `ProviderError`. */
  address(expected: Expected): Promise<string>;
  /** Login of the person that the provider names in an answer which came back with `query`; null: it names none. Throws `ProviderError`. */
  login(query: string, expected: Expected): Promise<string | null>;
}

export const CALLBACK = '/api/oidc/callback';
const ANSWER_WITHIN_S = 8;
/** The provider's own description is asked for anew after an hour. */
const DESCRIPTION_MS = 3_600_000;

/** The provider, asked what it is like when it is first needed: the program starts without it. */
export function createProvider(settings: ProviderSettings): Provider {
  let kept: { until: number; described: Promise<client.Configuration> } | null = null;
  const described = (): Promise<client.Configuration> => {
    if (kept && performance.now() < kept.until) return kept.described;
    const entry = { until: performance.now() + DESCRIPTION_MS, described: describe(settings) };
    kept = entry;
    // What failed is tried again at the next sign-in.
    entry.described.catch(() => kept === entry && (kept = null));
    return entry.described;
  };
  const redirect = settings.publicUrl + CALLBACK;
  return {
    name: settings.name, publicUrl: settings.publicUrl,
    address: (expected) => failing(async () => {
      const challenge = await client.calculatePKCECodeChallenge(expected.codeVerifier);
      return client.buildAuthorizationUrl(await described(), {
        redirect_uri: redirect, scope: 'openid profile email', state: expected.state, nonce: expected.nonce, code_challenge: challenge, code_challenge_method: 'S256',
      }).href;
    }),
    login: (query, expected) => failing(async () => {
      const config = await described();
      const tokens = await client.authorizationCodeGrant(config, new URL(`${redirect}?${query}`), {
        pkceCodeVerifier: expected.codeVerifier, expectedState: expected.state, expectedNonce: expected.nonce, idTokenExpected: true,
      });
      const claims = tokens.claims()!;
      const asks = claims['preferred_username'] === undefined && config.serverMetadata().userinfo_endpoint !== undefined;
      return loginOf(asks ? { ...claims, ...(await client.fetchUserInfo(config, tokens.access_token, claims.sub)) } : claims);
    }),
  };
}

export const newExpected = (): Expected => ({ state: client.randomState(), nonce: client.randomNonce(), codeVerifier: client.randomPKCECodeVerifier() });

function describe({ issuer, clientId, clientSecret }: ProviderSettings): Promise<client.Configuration> {
  const basic = client.ClientSecretBasic(clientSecret), post = client.ClientSecretPost(clientSecret);
  // OpenID Connect Discovery 1.0, 3: a provider that names no way takes the header.
  const authentication: client.ClientAuth = (server, ...rest) => {
    const ways = server.token_endpoint_auth_methods_supported;
    return (ways && !ways.includes('client_secret_basic') && ways.includes('client_secret_post') ? post : basic)(server, ...rest);
  };
  // The settings allow plain http for a provider of this machine alone.
  const insecure = issuer.startsWith('http://') ? [client.allowInsecureRequests] : [];
  return client.discovery(new URL(issuer), clientId, undefined, authentication, { timeout: ANSWER_WITHIN_S, execute: [client.enableNonRepudiationChecks, ...insecure] });
}

/** OpenID Connect Core 1.0, 5.1: the name by which the person wants to be called there, else an address that the provider verified. */
function loginOf({ preferred_username: name, email, email_verified: verified }: Record<string, unknown>): string | null {
  if (name !== undefined) return asLogin(name);
  return verified === true ? asLogin(email) : null;
}

/** No database keeps a null character, and no name here has one. */
function asLogin(said: unknown): string | null {
  return typeof said === 'string' && /^[^\p{Cc}\p{Cs}]{1,200}$/u.test(said.trim()) ? said.trim() : null;
}

async function failing<T>(act: () => Promise<T>): Promise<T> {
  try {
    return await act();
  } catch (error) {
    throw new ProviderError(whyOf(error), sayOf(error));
  }
}

/** What the token endpoint and the provider's page say of a program that is set up otherwise there (RFC 6749, 4.1.2.1 and 5.2). */
const SAID_OF_SETTINGS = ['invalid_client', 'unauthorized_client', 'invalid_scope', 'unsupported_response_type', 'unsupported_grant_type'];
/** What the library finds where the address is not that of a provider, or of another one. */
const FOUND_OF_SETTINGS = ['OAUTH_JSON_ATTRIBUTE_COMPARISON_FAILED', 'OAUTH_MISSING_SERVER_METADATA', 'OAUTH_HTTP_REQUEST_FORBIDDEN', 'OAUTH_RESPONSE_IS_NOT_JSON', 'OAUTH_RESPONSE_IS_NOT_CONFORM'];
const SAID_OF_ABSENCE = ['server_error', 'temporarily_unavailable'];
const FOUND_OF_ABSENCE = ['OAUTH_TIMEOUT', 'OAUTH_ABORT'];

function whyOf(error: unknown): ProviderFailure {
  const { code = '' } = error as { code?: string };
  const said = error instanceof client.ResponseBodyError || error instanceof client.AuthorizationResponseError ? error.error : '';
  if (said === 'access_denied') return 'cancelled';
  if (SAID_OF_ABSENCE.includes(said) || FOUND_OF_ABSENCE.includes(code) || causesOf(error).some(isAbsence)) return 'providerAway';
  if (SAID_OF_SETTINGS.includes(said) || FOUND_OF_SETTINGS.includes(code) || error instanceof client.WWWAuthenticateChallengeError) return 'providerSettings';
  return 'notVerified';
}

/** No connection, no answer in time, or one of a machine before a provider that is down. */
function isAbsence(cause: unknown): boolean {
  if (cause instanceof Response) return cause.status >= 500;
  return cause instanceof Error && (cause.name === 'TimeoutError' || cause.name === 'AbortError' || (cause instanceof TypeError && cause.message === 'fetch failed'));
}

/** The error, what caused it, and so on. */
function causesOf(error: unknown): unknown[] {
  return error instanceof Error ? [error, ...causesOf(error.cause)] : [error];
}

/** For the log: the kind of error and its codes, never what was sent or answered, which may hold secrets. */
function sayOf(error: unknown): string {
  const words = causesOf(error).flatMap((at) => (at instanceof Error ? [at.message, (at as { error?: unknown }).error, (at as { code?: unknown }).code] : []));
  return [...new Set(words.filter((word) => typeof word === 'string' && word !== ''))].join('; ').replace(/\s+/g, ' ').slice(0, 300);
}
