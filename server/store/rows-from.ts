import { type RawBuilder, sql } from 'kysely';

type ColumnType = 'bigint' | 'boolean' | 'float8' | 'json' | 'jsonb' | 'text' | 'timestamptz' | 'uuid';
type Value = string | number | boolean | object | null;

/**
 * `rows` as a source of a query, under the name `r`: one array a column, which the database takes apart far faster than one JSON text of all.
 * An instant is given in ISO 8601; what goes into a `json` or `jsonb` column is an object.
 */
export function rowsFrom<K extends string>(rows: readonly Readonly<Record<K, Value>>[], columns: Readonly<Record<K, ColumnType>>): RawBuilder<unknown> {
  const names = Object.keys(columns) as K[];
  const sources = names.map((name) => columnFrom(rows.map((row) => row[name]), columns[name]));
  return sql`rows from (${sql.join(sources)}) as r (${sql.join(names.map((name) => sql.ref(name)))})`;
}

function columnFrom(values: readonly Value[], type: ColumnType): RawBuilder<unknown> {
  if (type === 'json' || type === 'jsonb') return sql`${sql.raw(`${type}_array_elements`)}(${JSON.stringify(values)}::${sql.raw(type)})`;
  return sql`unnest(${arrayLiteral(values)}::${sql.raw(type)}[])`;
}

const ESCAPED = /["\\]/g;

/** The text of a PostgreSQL array (PostgreSQL 15 documentation, 8.15.6). The driver's own way takes three times as long over each value. */
function arrayLiteral(values: readonly Value[]): string {
  return `{${values.map((value) => (typeof value === 'string' ? quoted(value) : String(value ?? 'NULL'))).join()}}`;
}

function quoted(text: string): string {
  return `"${text.includes('"') || text.includes('\\') ? text.replace(ESCAPED, '\\$&') : text}"`;
}
