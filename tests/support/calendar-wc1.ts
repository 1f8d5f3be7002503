import type { Plant } from '../../server/core/setup/plant.ts';
import published from '../published/time.json' with { type: 'json' };

export const INDIANAPOLIS = 'America/Indiana/Indianapolis';

const day = { name: 'Day', start: '06:00', end: '16:00', breaks: [{ start: '09:00', end: '09:15' }, { start: '12:00', end: '12:30' }] };
/** The calendar WC-1 of tests/published/time.json, as that of a line without stations. */
export const calendarWc1: Plant = {
  code: 'P', name: 'P', timeZone: INDIANAPOLIS, halls: [], places: [], models: [], options: [],
  lines: [{ code: 'L', name: 'L', purpose: 'main', roll: 'asReady', calendar: 'wc1', pace: 30, stations: [] }],
  calendars: [{
    code: 'wc1',
    shifts: [
      { ...day, weekdays: ['mon', 'tue', 'wed', 'thu'] },
      { name: 'Friday', start: '06:00', end: '10:00', breaks: [{ start: '09:00', end: '09:15' }], weekdays: ['fri'] },
    ],
    exceptions: Object.values(published.federalHolidays).flat().map(({ observed, name }) => ({ date: observed, kind: 'closed' as const, shifts: [], note: name })),
  }],
};
