import type { Calendar, DayShift, Plant, Station } from '../core/setup/plant.ts';
import { labelProblems } from './label-checks.ts';
import { qualityProblems } from './quality-checks.ts';

export interface PlantProblem {
  path: (string | number)[];
  message: string;
}

/** What a plant's set-up says that cannot be: codes that name nothing, codes twice, a zone nobody knows. Empty when it is sound. */
export function plantProblems(plant: Plant): PlantProblem[] {
  const problems: PlantProblem[] = [];
  const wrong = (path: PlantProblem['path'], message: string): void => void problems.push({ path, message });
  if (!isZone(plant.timeZone)) wrong(['timeZone'], `${plant.timeZone} is not an IANA time zone such as America/Indiana/Indianapolis`);
  const stations = [
    ...plant.lines.flatMap((line, i) => line.stations.map((station, j) => ({ station, path: ['lines', i, 'stations', j] }))),
    ...plant.places.map((station, i) => ({ station, path: ['places', i] })),
  ];
  for (const [list, items] of Object.entries({ halls: plant.halls, calendars: plant.calendars, lines: plant.lines, models: plant.models, options: plant.options, countPoints: plant.countPoints ?? [], zones: plant.zones ?? [], checks: plant.checks ?? [], partKinds: plant.partKinds ?? [], releaseItems: plant.releaseItems ?? [] })) {
    for (const i of doubles(items)) wrong([list, i, 'code'], `${items[i]!.code} stands twice; every code is used once`);
  }
  for (const i of doubles(stations.map(({ station }) => station))) wrong([...stations[i]!.path, 'code'], `${stations[i]!.station.code} stands twice; a station's code is used once in the plant`);
  for (const { station, path } of stations) for (const { field, message } of stationProblems(plant, station)) wrong([...path, field], message);
  plant.lines.forEach((line, i) => {
    if (!plant.calendars.some(({ code }) => code === line.calendar)) wrong(['lines', i, 'calendar'], `there is no calendar ${line.calendar}`);
  });
  plant.calendars.forEach((calendar, i) => {
    for (const { path, message } of breakProblems(calendar)) wrong(['calendars', i, ...path], message);
  });
  const codes = new Set(stations.map(({ station }) => station.code));
  plant.models.forEach((model, i) => {
    for (const code of Object.keys(model.standards)) if (!codes.has(code)) wrong(['models', i, 'standards', code], `there is no station ${code}`);
  });
  plant.options.forEach((option, i) => {
    for (const code of Object.keys(option.minutes)) if (!codes.has(code)) wrong(['options', i, 'minutes', code], `there is no station ${code}`);
  });
  plant.countPoints?.forEach(({ event, station }, i) => {
    if (station !== null && (event === 'released' || event === 'shipped')) wrong(['countPoints', i, 'station'], `${event} is said by the office and has no station`);
    else if (station !== null && !plant.lines.some((line) => line.stations.some(({ code }) => code === station))) wrong(['countPoints', i, 'station'], `no line has a station ${station}`);
  });
  return [...problems, ...qualityProblems(plant, stations), ...labelProblems(plant)];
}

function stationProblems(plant: Plant, station: Station): { field: keyof Station; message: string }[] {
  const problems: { field: keyof Station; message: string }[] = [];
  const hall = plant.halls.find(({ code }) => code === station.hall);
  if (!hall) problems.push({ field: 'hall', message: `there is no hall ${station.hall}` });
  if (hall && station.floor !== null && !hall.floors.some(({ code }) => code === station.floor)) problems.push({ field: 'floor', message: `hall ${hall.code} has no floor ${station.floor}` });
  if (station.calendar !== null && !plant.calendars.some(({ code }) => code === station.calendar)) problems.push({ field: 'calendar', message: `there is no calendar ${station.calendar}` });
  if ((station.capacity === null) === (station.placeLength === null)) problems.push({ field: 'capacity', message: 'exactly one of capacity and placeLength is given' });
  return problems;
}

/** Breaks that do not lie in their shift: nobody would see that they take no minute of it. */
function breakProblems({ shifts, exceptions }: Calendar): PlantProblem[] {
  const problems: PlantProblem[] = [];
  const look = (shift: DayShift, path: PlantProblem['path']): void => shift.breaks.forEach((pause, k) => {
    const from = minutesAfter(shift.start, pause.start);
    const to = from + (minutesAfter(pause.start, pause.end) || DAY);
    if (to > (minutesAfter(shift.start, shift.end) || DAY)) problems.push({ path: [...path, 'breaks', k], message: `${pause.start} to ${pause.end} does not lie in its shift, ${shift.start} to ${shift.end}` });
  });
  shifts.forEach((shift, j) => look(shift, ['shifts', j]));
  exceptions.forEach((exception, j) => exception.shifts.forEach((shift, k) => look(shift, ['exceptions', j, 'shifts', k])));
  return problems;
}

const DAY = 1_440;
const minutesOf = (time: string): number => Number(time.slice(0, 2)) * 60 + Number(time.slice(3));

/** Minutes on the wall clock from `from` to the next `to`; 0 when they are the same time of day. */
const minutesAfter = (from: string, to: string): number => (minutesOf(to) - minutesOf(from) + DAY) % DAY;

/** Indices of items whose code stood before. */
function doubles(items: readonly { code: string }[]): number[] {
  return items.flatMap(({ code }, i) => (items.findIndex((item) => item.code === code) < i ? [i] : []));
}

function isZone(zone: string): boolean {
  try {
    new Intl.DateTimeFormat('en-US', { timeZone: zone });
    return true;
  } catch {
    return false;
  }
}
