import { once } from 'node:events';
import { createServer, request as ask, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import { type AddressInfo, connect, type Socket } from 'node:net';
import type { Duplex } from 'node:stream';

/** What happens to a request that carries facts. */
export type Fault =
  | { kind: 'none' }
  /** The way is cut before the server hears of it, after it has it, or in the middle of its answer. */
  | { kind: 'cutBefore' | 'cutAfter' | 'cutAnswer' }
  /** It waits so many ms on its way there. Others pass it: facts of two devices arrive in another order. */
  | { kind: 'slow'; ms: number }
  /** The server gets it twice, the second time after so many ms, when the answer to the first is long back. */
  | { kind: 'twice'; ms: number };

/** Where a request is on its way, for who wants to end a tab just then. */
export type Step = 'asked' | 'answered' | 'passedOn';

export interface FaultProxy {
  port: number;
  /** False: no connection is taken and those that are open break. */
  open(isOpen: boolean): void;
  /** Decides over each request with facts, in the order in which they come. */
  faults: () => Fault;
  /** Told of each step of a request with facts. */
  atStep: (step: Step) => void;
  /** Changes what is answered, by the path asked for. */
  rewrite: (path: string, body: Buffer) => Buffer;
  /** Requests with facts by what happened to them. */
  counts: Record<Fault['kind'], number>;
  /** Resolves when nothing that was held or doubled is on its way any more. */
  settled(): Promise<void>;
  close(): Promise<void>;
}

/** A network between kiosks and the server at `target`, that does to facts what a bad one does. All else goes through as it is. */
export async function startFaultProxy(target: () => number): Promise<FaultProxy> {
  const sockets = new Set<Duplex>();
  const late = new Set<Promise<unknown>>();
  let open = true;
  const counts: FaultProxy['counts'] = { none: 0, cutBefore: 0, cutAfter: 0, cutAnswer: 0, slow: 0, twice: 0 };
  const server: Server = createServer((request, response) => void pass(request, response).catch(() => response.destroy()));
  const proxy: FaultProxy = {
    port: 0, counts, faults: () => ({ kind: 'none' }), atStep: () => {}, rewrite: (_path, body) => body,
    open(isOpen) {
      open = isOpen;
      if (!open) for (const socket of sockets) socket.destroy();
    },
    async settled() {
      while (late.size > 0) await Promise.all(late);
    },
    async close() {
      for (const socket of sockets) socket.destroy();
      server.close();
      await once(server, 'close');
    },
  };

  const pass = async (request: IncomingMessage, response: ServerResponse): Promise<void> => {
    const body = await bodyOf(request);
    const carriesFacts = request.method === 'POST' && request.url?.endsWith('/facts') === true;
    const fault = carriesFacts ? proxy.faults() : { kind: 'none' as const };
    if (carriesFacts) {
      counts[fault.kind]++;
      proxy.atStep('asked');
    }
    if (fault.kind === 'cutBefore') return void response.destroy();
    if (fault.kind === 'slow') await after(fault.ms);
    const plain = await forward(target(), request, body);
    const said = proxy.rewrite(request.url ?? '/', plain.body);
    const answer = said === plain.body ? plain : { ...plain, body: said, headers: { ...plain.headers, 'content-length': String(said.length) } };
    if (carriesFacts) proxy.atStep('answered');
    if (fault.kind === 'twice') {
      const second = after(fault.ms).then(() => forward(target(), request, body)).catch(() => {});
      late.add(second);
      void second.finally(() => late.delete(second));
    }
    if (fault.kind === 'cutAfter') return void response.destroy();
    response.writeHead(answer.status, answer.headers);
    if (fault.kind === 'cutAnswer') {
      response.write(answer.body.subarray(0, Math.floor(answer.body.length / 2)));
      return void setImmediate(() => response.destroy());
    }
    response.end(answer.body);
    if (carriesFacts) proxy.atStep('passedOn');
  };

  server.on('connection', (socket) => {
    if (!open) return void socket.destroy();
    keep(sockets, socket);
  });
  server.on('upgrade', (request: IncomingMessage, client: Duplex, head: Buffer) => tunnel(target(), request, client, head, sockets));
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  proxy.port = (server.address() as AddressInfo).port;
  return proxy;
}

interface Answer { status: number; headers: IncomingMessage['headers']; body: Buffer }

async function forward(port: number, { method, url, headers }: IncomingMessage, body: Buffer): Promise<Answer> {
  // Always the whole answer: what stands unchanged on the server may be changed by `rewrite`.
  const { 'if-none-match': _tag, 'if-modified-since': _since, ...asked } = headers;
  const asking = ask({ host: '127.0.0.1', port, method, path: url, headers: { ...asked, connection: 'close' } });
  asking.end(body);
  const [answer] = (await once(asking, 'response')) as [IncomingMessage];
  const { 'transfer-encoding': _chunked, connection: _connection, ...plain } = answer.headers;
  const said = await bodyOf(answer);
  return { status: answer.statusCode ?? 502, headers: { ...plain, ...(said.length > 0 ? { 'content-length': String(said.length) } : {}) }, body: said };
}

/** A websocket goes through as it is, until the network is cut. */
function tunnel(port: number, { url, headers }: IncomingMessage, client: Duplex, head: Buffer, sockets: Set<Duplex>): void {
  const server: Socket = connect(port, '127.0.0.1', () => {
    const lines = Object.entries(headers).map(([name, value]) => `${name}: ${String(value)}`);
    server.write(`GET ${url ?? '/'} HTTP/1.1\r\n${lines.join('\r\n')}\r\n\r\n`);
    server.write(head);
    server.pipe(client).pipe(server);
  });
  keep(sockets, server);
  for (const [one, other] of [[client, server], [server, client]] as const) {
    one.on('error', () => other.destroy());
    one.on('close', () => other.destroy());
  }
}

function keep(sockets: Set<Duplex>, socket: Duplex): void {
  sockets.add(socket);
  socket.on('error', () => {});
  socket.on('close', () => sockets.delete(socket));
}

async function bodyOf(message: IncomingMessage): Promise<Buffer> {
  const parts: Buffer[] = [];
  for await (const part of message) parts.push(part as Buffer);
  return Buffer.concat(parts);
}

function after(ms: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, ms));
}
