import pg from 'pg';

const MARK = /^\/\* prepared: (\S+) \*\//;

/**
 * A connection on which a statement whose text begins with a comment of the form "prepared: NAME" is read and planned once, and after that only
 * run. One name, one text. For what runs many times a second: the query builder itself has no word for it.
 */
export class PreparingClient extends pg.Client {
  override query(...given: unknown[]): never {
    const [text, values, ...rest] = given;
    const name = typeof text === 'string' ? MARK.exec(text)?.[1] : undefined;
    const query = super.query.bind(this) as (...args: unknown[]) => never;
    return name === undefined ? query(...given) : query({ name, text, values }, ...rest);
  }
}
