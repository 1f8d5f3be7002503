import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { Provider } from 'oidc-provider';

/** A client that the provider knows. */
export interface TestClient { id: string; secret: string; redirect: string }

export interface TestProvider {
  issuer: string;
  /** Signs whoever comes next in as `account`; null: refuses. */
  signsIn(account: string | null): void;
  /** Answers the next request for tokens with this ID token in the place of its own. */
  swapIdToken(idToken: string): void;
  /** Goes through the provider as a browser does, from `address` to the address that leads back to the client. */
  walk(address: string): Promise<URL>;
  close(): Promise<void>;
}

/** Claims by account; the subject is the account. */
export type Accounts = Record<string, Record<string, string | boolean>>;

/** A real OpenID provider on 127.0.0.1 that asks nobody for a password. It demands PKCE and takes a code once. */
export async function openidProvider(clients: readonly TestClient[], accounts: Accounts, port = 0): Promise<TestProvider> {
  let account: string | null = null, swapped: string | null = null, handle: (request: IncomingMessage, response: ServerResponse) => void = () => {};
  const server = createServer((request, response) => handle(request, response));
  await new Promise<void>((resolve) => void server.listen(port, '127.0.0.1', resolve));
  const issuer = `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
  const provider = new Provider(issuer, {
    clients: clients.map(({ id, secret, redirect }) => ({ client_id: id, client_secret: secret, redirect_uris: [redirect], grant_types: ['authorization_code'], response_types: ['code'] })),
    claims: { openid: ['sub'], profile: ['preferred_username'], email: ['email', 'email_verified'] },
    findAccount: (_context, id) => ({ accountId: id, claims: () => ({ sub: id, ...accounts[id] }) }),
    ttl: { AccessToken: 600, AuthorizationCode: 60, Grant: 600, IdToken: 600, Interaction: 600, Session: 600 },
    pkce: { required: () => true },
    features: { devInteractions: { enabled: false } },
    interactions: { url: (_context, { uid }) => `/interaction/${uid}` },
    cookies: { keys: ['a key of the tests'] },
    // Nobody is asked whether the client may know them: the plant's own program is one of its own.
    async loadExistingGrant({ oidc }) {
      const grant = new oidc.provider.Grant({ clientId: oidc.client!.clientId, accountId: oidc.session!.accountId! });
      grant.addOIDCScope('openid profile email');
      await grant.save();
      return grant;
    },
  });
  const itself = provider.callback();
  handle = (request, response) => {
    if (request.url!.startsWith('/interaction/')) {
      const result = account === null ? { error: 'access_denied' } : { login: { accountId: account } };
      return void provider.interactionFinished(request, response, result, { mergeWithLastSubmission: false });
    }
    if (request.url === '/token' && swapped !== null) swapIn(response, swapped);
    swapped = request.url === '/token' ? null : swapped;
    void itself(request, response);
  };
  return {
    issuer,
    signsIn: (next) => void (account = next),
    swapIdToken: (idToken) => void (swapped = idToken),
    walk: (address) => walk(issuer, address),
    close: () => new Promise((resolve) => {
      server.closeAllConnections();
      server.close(() => resolve());
    }),
  };
}

function swapIn(response: ServerResponse, idToken: string): void {
  const end = response.end.bind(response) as (text: string) => ServerResponse;
  response.end = ((text: string | Buffer) => {
    const changed = JSON.stringify({ ...(JSON.parse(String(text)) as object), id_token: idToken });
    response.setHeader('content-length', Buffer.byteLength(changed));
    return end(changed);
  }) as typeof response.end;
}

async function walk(issuer: string, from: string): Promise<URL> {
  const kept = new Map<string, string>();
  let at = new URL(from);
  for (let steps = 0; at.origin === issuer; steps++) {
    if (steps > 10) throw new Error(`The provider leads round in circles at ${at.href}`);
    const reply = await fetch(at, { redirect: 'manual', headers: { cookie: [...kept].map((pair) => pair.join('=')).join('; ') } });
    for (const cookie of reply.headers.getSetCookie()) {
      const [, name, value] = /^([^=]+)=([^;]*)/.exec(cookie)!;
      kept.set(name!, value!);
    }
    const next = reply.headers.get('location');
    if (next === null) throw new Error(`${at.href}: ${reply.status} ${await reply.text()}`);
    at = new URL(next, at);
  }
  return at;
}
