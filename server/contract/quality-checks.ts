import type { Plant, Station } from '../core/setup/plant.ts';
import type { PlantProblem } from './plant-checks.ts';

/** What a plant's checks, parts and zones name that there is not. Empty when they are sound. */
export function qualityProblems(plant: Plant, stations: readonly { station: Station; path: (string | number)[] }[]): PlantProblem[] {
  const problems: PlantProblem[] = [];
  const known = {
    zone: codes(plant.zones ?? []), station: codes(stations.map(({ station }) => station)), model: codes(plant.models), option: codes(plant.options),
  };
  const name = (what: keyof typeof known, code: string | null, path: PlantProblem['path']): void => {
    if (code !== null && !known[what].has(code)) problems.push({ path, message: `there is no ${what} ${code}` });
  };
  for (const { station, path } of stations) station.covers?.forEach((zone, i) => name('zone', zone, [...path, 'covers', i]));
  for (const [list, rules] of Object.entries({ checks: plant.checks ?? [], partKinds: plant.partKinds ?? [] })) {
    rules.forEach((rule, i) => {
      name('station', rule.station, [list, i, 'station']);
      rule.models?.forEach((model, j) => name('model', model, [list, i, 'models', j]));
      rule.options?.forEach((option, j) => name('option', option, [list, i, 'options', j]));
    });
  }
  plant.partKinds?.forEach(({ zone }, i) => name('zone', zone, ['partKinds', i, 'zone']));
  plant.checks?.forEach((check, i) => {
    check.zones.forEach((zone, j) => name('zone', zone, ['checks', i, 'zones', j]));
    check.items.forEach((item, j) => {
      const path = ['checks', i, 'items', j];
      name('zone', item.zone, [...path, 'zone']);
      if (check.items.findIndex(({ code }) => code === item.code) < j) problems.push({ path: [...path, 'code'], message: `${item.code} stands twice in the check` });
      if (item.kind === 'measured' && item.low !== null && item.high !== null && item.low > item.high) problems.push({ path: [...path, 'low'], message: 'is greater than high' });
      if (item.kind === 'choice' && !item.choices.some(({ passes }) => passes)) problems.push({ path: [...path, 'choices'], message: 'none of them passes' });
    });
  });
  Object.keys(plant.vin?.descriptors ?? {}).forEach((model) => name('model', model, ['vin', 'descriptors', model]));
  return problems;
}

function codes(items: readonly { code: string }[]): Set<string> {
  return new Set(items.map(({ code }) => code));
}
