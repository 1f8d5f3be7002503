import type { Snapshot } from '../../server/contract/snapshot.ts';
import type { Line, Station } from '../../server/core/setup/plant.ts';
import type { Instant } from '../../server/core/units.ts';
import { crewOf } from '../data/crew-now.ts';
import { unitPath } from '../data/route.ts';
import type { DrawnPlace, DrawnStretch } from '../elements/line-path.ts';
import type { StateName } from '../styles/states.ts';
import { areaOf, progressOf, standardOf, stateOf } from './board-facts.ts';

/** The plant as the building lies: area by area in the order in which its lines pass them, in each its lines, then its bays and yard places. */
export function stretchesOf(view: Snapshot, now: Instant): DrawnStretch[] {
  const lines = view.plant.lines.flatMap((line) => lineStretches(view, line, now));
  const places: DrawnStretch[] = [];
  for (const place of view.plant.places) {
    const area = areaOf(view, place);
    const known = places.find((stretch) => stretch.area === area);
    const drawn = drawnPlace(view, place, now, false);
    if (known) known.places.push(drawn);
    else places.push({ title: '', area, line: false, joins: false, places: [drawn] });
  }
  const all = [...lines, ...places];
  const areas = [...new Set(all.map(({ area }) => area))];
  return areas.flatMap((area) => all.filter((stretch) => stretch.area === area));
}

function lineStretches(view: Snapshot, line: Line, now: Instant): DrawnStretch[] {
  const stretches: DrawnStretch[] = [];
  for (const station of line.stations) {
    const area = areaOf(view, station);
    const last = stretches.at(-1);
    const drawn = drawnPlace(view, station, now, true);
    if (last?.area === area) last.places.push(drawn);
    else stretches.push({ title: line.name, area, line: true, joins: stretches.length > 0 || line.purpose === 'inspection', places: [drawn] });
  }
  return stretches;
}

function drawnPlace(view: Snapshot, station: Station, now: Instant, line: boolean): DrawnPlace {
  const units = view.units.filter((row) => row.state.place?.station === station.code).map((row) => {
    const progress = progressOf(view, row, now);
    const model = view.plant.models.find((candidate) => candidate.code === row.state.model);
    return {
      unit: row.state.unit, href: unitPath(view.plant.code, row.state.unit), length: model?.length ?? shortest(view),
      work: progress?.work ?? null, standard: progress?.standard ?? 0, state: row.state.known ? stateOf(view, row, now) : 'flagged' as const,
    };
  });
  const stopped = view.stops.some((stop) => stop.station === station.code);
  const state: StateName | null = stopped ? 'stopped' : (view.stations.find((row) => row.station === station.code)?.freeState ?? null);
  const columns = line ? 1 : Math.min(station.capacity ?? 1, Math.max(2, units.length));
  const shortCrew = (crewOf(view, station.code, now)?.short ?? 0) > 0;
  return { code: station.code, minutes: standardOf(view, station.code), columns, state, shortCrew, units };
}

/** A serial whose model nobody has said yet is drawn no longer than it can be. */
function shortest(view: Snapshot): number {
  return Math.min(12, ...view.plant.models.map((model) => model.length));
}
