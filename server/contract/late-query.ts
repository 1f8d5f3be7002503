import { LATE_GROUPS, LATE_SORTS, type LateGroup, type LateQuery, type LateSort } from './late-report.ts';

type Said = Readonly<Record<string, string | undefined>>;

/**
 * The report that an address or request asks for, from what stands after its `?`: `shipDay`, `dealer`, `model`, `only` (`late`, or left out for
 * all), `group` and `sort`. `wrong` names what is there with a value that it does not know; the default stands in its place.
 */
export function readLateQuery(said: Said): { query: LateQuery; wrong: string[] } {
  const wrong: string[] = [];
  const oneOf = <T extends string>(key: string, known: readonly T[], otherwise: T): T => {
    const value = said[key];
    const found = known.find((one) => one === value);
    if (found === undefined && value !== undefined && value !== '') wrong.push(key);
    return found ?? otherwise;
  };
  const only = oneOf('only', ['', 'late'], '');
  const group = oneOf<LateGroup>('group', LATE_GROUPS, 'stage');
  const sort = oneOf<LateSort>('sort', LATE_SORTS, 'worst');
  return { query: { shipDay: said['shipDay'] ?? '', dealer: said['dealer'] ?? '', model: said['model'] ?? '', lateOnly: only === 'late', group, sort }, wrong };
}

/** What to write after the `?` of an address so that `readLateQuery` reads `query` from it; what is as by default is left out. */
export function writeLateQuery(query: LateQuery): string {
  const { shipDay, dealer, model, lateOnly, group, sort } = query;
  const said = { only: lateOnly ? 'late' : '', group: group === 'stage' ? '' : group, sort: sort === 'worst' ? '' : sort, shipDay, dealer, model };
  return new URLSearchParams(Object.entries(said).filter(([, value]) => value !== '')).toString();
}
