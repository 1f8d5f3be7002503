import { connect, type Socket } from 'node:net';
import { once } from 'node:events';

const HEAD_END = '\r\n\r\n';

/**
 * A kept connection that posts JSON, one request at a time: no more than HTTP/1.1 needs where replies say their length, so that the kiosks of a bench
 * take little of the machine they share with what is measured.
 */
export class LeanClient {
  private reply = '';
  private waiting: { done(body: string): void; failed(error: Error): void } | null = null;
  private readonly socket: Socket;
  private readonly head: string;

  /** `headers` go with every request. */
  constructor(url: URL, private readonly path: string, headers: Readonly<Record<string, string>>) {
    this.socket = connect({ host: url.hostname, port: Number(url.port), noDelay: true });
    this.socket.setEncoding('latin1');
    const lines = Object.entries({ host: url.host, 'content-type': 'application/json', ...headers }).map(([name, value]) => `${name}: ${value}\r\n`);
    this.head = `POST ${path} HTTP/1.1\r\n${lines.join('')}content-length: `;
    this.socket.on('data', (part: string) => this.read(part));
    this.socket.on('error', (error) => this.waiting?.failed(error));
    this.socket.on('close', () => this.waiting?.failed(new Error(`${path}: the connection was closed`)));
  }

  static async open(url: URL, path: string, headers: Readonly<Record<string, string>>): Promise<LeanClient> {
    const client = new LeanClient(url, path, headers);
    await once(client.socket, 'connect');
    return client;
  }

  /** The body of the reply; throws when it is not 200. */
  post(body: unknown): Promise<string> {
    const text = JSON.stringify(body);
    return new Promise((done, failed) => {
      this.waiting = { done, failed };
      this.socket.write(`${this.head}${Buffer.byteLength(text)}${HEAD_END}${text}`);
    });
  }

  close(): void {
    this.socket.destroy();
  }

  private read(part: string): void {
    this.reply += part;
    const headEnd = this.reply.indexOf(HEAD_END);
    if (headEnd < 0) return;
    const head = this.reply.slice(0, headEnd);
    const length = Number(/^content-length: (\d+)$/im.exec(head)?.[1]);
    const end = headEnd + HEAD_END.length + length;
    if (this.reply.length < end) return;
    const body = this.reply.slice(headEnd + HEAD_END.length, end);
    this.reply = this.reply.slice(end);
    const { waiting } = this;
    this.waiting = null;
    if (head.startsWith('HTTP/1.1 200 ')) waiting?.done(body);
    else waiting?.failed(new Error(`${this.path}: ${head.slice(0, head.indexOf('\r\n'))} ${body}`));
  }
}
