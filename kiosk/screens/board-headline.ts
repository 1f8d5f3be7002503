import type { Snapshot } from '../../server/contract/snapshot.ts';
import type { HeadlinePart } from '../elements/board-headline.ts';
import type { StateName } from '../styles/states.ts';
import { t } from '../words/catalogue.ts';
import type { Pace } from './board-pace.ts';
import { stateOf } from './board-facts.ts';

/** Codes named for one state; more are counted, so that the headline stays one line on a TV. */
const NAMED = 3;

export function paceHeadline({ planned, left, behind }: Pace): { pace: HeadlinePart; detail: string } {
  const detail = t('board.left', { left, planned });
  if (behind > 0) return { pace: { state: 'behind', words: t('board.behind', { n: behind }) }, detail };
  return { pace: { state: 'inTime', words: behind < 0 ? t('board.ahead', { n: -behind }) : t('board.onPace') }, detail };
}

/** Where the line is stopped, where units are held, and where one waits only to be rolled. */
export function troubleHeadline(view: Snapshot, now: number): HeadlinePart[] {
  const at = (state: StateName): string[] => view.units.filter((row) => row.state.place?.line && stateOf(view, row, now) === state).map((row) => row.state.place!.station);
  const parts = [
    part('stopped', 'board.stoppedAt', view.stops.map((stop) => stop.station)),
    part('held', 'board.heldAt', at('held')),
    part('rollLag', 'board.rollAt', at('rollLag')),
  ].filter((one) => one !== null);
  return parts.length > 0 ? parts : [{ state: 'inTime', words: t('board.nothing') }];
}

function part(state: StateName, word: 'board.stoppedAt' | 'board.heldAt' | 'board.rollAt', codes: string[]): HeadlinePart | null {
  const different = [...new Set(codes)];
  if (different.length === 0) return null;
  const more = different.length > NAMED ? ` +${different.length - NAMED}` : '';
  return { state, words: t(word, { at: different.slice(0, NAMED).join(', ') + more }) };
}
