import pg from 'pg';

/** What no refused request may change, table by table. Not among it: what is told anew by itself (minutes, forecasts), and failed tries, which are the refusal's own. */
const TABLES = [
  'plants', 'setup_versions', 'facts', 'whereabouts', 'stays', 'flags', 'stops', 'photos', 'people', 'badges', 'person_roles', 'devices', 'sessions', 'pairing_codes', 'one_time_links', 'audit_trail',
] as const;
const OWN_TRACES = "('signInRefused', 'pairingRefused', 'factsRefused')";

export interface KeptState {
  /** How many rows each table has, and a digest of all of them. */
  read(): Promise<Record<string, string>>;
  close(): Promise<void>;
}

export async function keptState(url: string): Promise<KeptState> {
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  const one = (table: string): string => {
    const rows = `select md5((to_jsonb(t) - 'seen_at')::text) as row from ${table} t ${table === 'audit_trail' ? `where what not in ${OWN_TRACES}` : ''}`;
    return `select '${table}' as name, count(*) || ' ' || coalesce(md5(string_agg(row, '' order by row)), '') as digest from (${rows}) r`;
  };
  const all = TABLES.map(one).join(' union all ');
  return {
    async read() {
      const { rows } = await client.query<{ name: string; digest: string }>(all);
      return Object.fromEntries(rows.map(({ name, digest }) => [name, digest]));
    },
    close: () => client.end(),
  };
}
