import fc from 'fast-check';
import { expect, it } from 'vitest';
import { createEventQueue } from '../../seed/event-queue.ts';

it('runs events by minute, equal minutes in the order put in, and none past the end', () => {
  fc.assert(fc.property(fc.array(fc.nat(30)), fc.nat(30), (minutes, until) => {
    const queue = createEventQueue();
    const ran: [number, number][] = [];
    minutes.forEach((minute, order) => queue.at(minute, () => ran.push([minute, order])));
    queue.runUntil(until);
    const expected = minutes.map((minute, order): [number, number] => [minute, order]).filter(([minute]) => minute <= until);
    expect(ran).toEqual(expected.sort((a, b) => a[0] - b[0] || a[1] - b[1]));
    expect(queue.now()).toBe(until);
  }));
});

it('puts an event for the past at the minute now', () => {
  const queue = createEventQueue();
  let ranAt = -1;
  queue.at(10, () => queue.at(3, () => (ranAt = queue.now())));
  queue.runUntil(20);
  expect(ranAt).toBe(10);
});
