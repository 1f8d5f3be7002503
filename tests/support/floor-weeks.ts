import { register, stated } from '../actions/house.ts';
import type { Fact } from '../../server/core/facts/fact.ts';

const DAY = 1_440;

/**
 * Units through S1, S2, S3 of the plant of `wholePlant` (25, 30, 20 standard minutes), `perDay` on each of `days` days from Monday 1 June 2026:
 * over standard by a little more each week, a hold and a stop on some, a station missed, an instant told, a finish left out, the last one still at S3.
 */
export function floorWeeks(days: number, perDay = 4): Fact[] {
  const facts: Fact[] = [];
  for (let day = 0; day < days; day++) {
    for (let n = 0; n < perDay; n++) {
      const unit = `W${100 + day * perDay + n}`;
      const start = day * DAY + 420 + n * 60;
      const over = Math.floor(day / 7) * 2 + (n % 3);
      const open = day === days - 1 && n === perDay - 1;
      facts.push(register(unit, { sequence: day * perDay + n }));
      facts.push(stated(start, 'arrive', { unit, station: 'S1' }), stated(start + 25 + over, 'finish', { unit, station: 'S1' }));
      if (n === 0) {
        const hold = stated(start + 5, 'openHold', { unit, reason: 'Part missing', keepsFrom: 'work', fromStation: null, note: '' });
        facts.push(hold, stated(start + 12, 'clearHold', { unit, hold: hold.id, note: '' }));
      }
      if (n === 1) {
        const stop = stated(start + 3, 'openStop', { station: 'S1', reason: 'Tool broken', note: '' });
        facts.push(stop, stated(start + 8, 'clearStop', { station: 'S1', stop: stop.id, note: '' }));
      }
      if (n !== 2) facts.push(stated(start + 40, 'arrive', { unit, station: 'S2' }, { told: n === 3 }));
      if (n === 0) facts.push(stated(start + 69, 'finish', { unit, station: 'S2' }));
      facts.push(stated(start + 75, 'arrive', { unit, station: 'S3' }));
      if (!open) facts.push(stated(start + 96, 'finish', { unit, station: 'S3' }), stated(start + 98, 'leave', { unit, station: 'S3' }));
    }
  }
  return facts;
}
