import { describe, expect, it } from 'vitest';
import { createDevices } from '../../server/actions/devices.ts';

const DAY = 24 * 60 * 60_000;
const state = (station: string, unsent = 0): Parameters<ReturnType<typeof createDevices>['note']>[2] => ({ station, unsent, oldest: unsent > 0 ? 1 : null, clockAhead: 0 });

describe('the kiosks in a server\'s memory', () => {
  it('stand as each said last, by station, plant by plant', () => {
    let now = 1_000;
    const devices = createDevices(() => now);
    devices.note('P', { who: 'b1', device: 'k2' }, state('S2', 4));
    devices.note('P', { who: 'b1', device: 'k1' }, state('S1'));
    devices.note('Q', { who: 'b1', device: 'k9' }, state('S1'));
    now = 2_000;
    devices.note('P', { who: 'b2', device: 'k2' }, state('S2', 1));
    expect(devices.of('P').map(({ device, unsent, who, heard, connected }) => [device, unsent, who, heard, connected])).toEqual([['k1', 0, 'b1', 1_000, true], ['k2', 1, 'b2', 2_000, true]]);
    expect(devices.of('NONE')).toEqual([]);
  });

  it('keep what they said last when they are gone, with the instant', () => {
    let now = 1_000;
    const devices = createDevices(() => now);
    devices.note('P', { who: 'b1', device: 'k1' }, state('S1', 2));
    now = 9_000;
    devices.gone('P', 'k1');
    devices.gone('P', 'never there');
    expect(devices.of('P')).toMatchObject([{ device: 'k1', unsent: 2, connected: false, heard: 9_000 }]);
  });

  it('are forgotten a week after they went, and never more than a thousand', () => {
    let now = 1_000;
    const devices = createDevices(() => now);
    devices.note('P', { who: 'b', device: 'old' }, state('S1'));
    devices.gone('P', 'old');
    now += 8 * DAY;
    devices.note('P', { who: 'b', device: 'new' }, state('S2'));
    expect(devices.of('P').map(({ device }) => device)).toEqual(['new']);
    for (let i = 0; i < 1_200; i++) devices.note('P', { who: 'b', device: `k${i}` }, state('S3'));
    expect(devices.of('P')).toHaveLength(1_000);
    expect(devices.of('P').some(({ device }) => device === 'k1199')).toBe(true);
  });
});
