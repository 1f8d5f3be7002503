import { describe, expect, it } from 'vitest';
import { behind, type DeviceRow, readDeviceState } from '../../server/contract/devices.ts';

const state = { station: 'S1', unsent: 3, oldest: 1_000, clockAhead: null };
const row = (more: Partial<DeviceRow>): DeviceRow => ({ station: 'S1', unsent: 0, oldest: null, clockAhead: 0, device: 'kiosk-1', who: 'badge-1', connected: true, heard: 5_000, ...more });

describe('what a kiosk says of itself', () => {
  it('is read as it was said', () => {
    expect(readDeviceState(state)).toEqual(state);
    expect(readDeviceState({ ...state, more: 'than known' })).toEqual(state);
  });

  it.each([null, 'S1', {}, { ...state, unsent: -1 }, { ...state, unsent: 1.5 }, { ...state, oldest: 'now' }, { ...state, station: 'x'.repeat(101) }, { ...state, clockAhead: Number.NaN }])('is left alone when it is not of the form: %j', (said) => {
    expect(readDeviceState(said)).toBeNull();
  });
});

describe('kiosks that are behind', () => {
  it('hold something back, or stood at a station and are not heard any more; the longest behind comes first', () => {
    const rows = [
      row({ device: 'right' }), row({ device: 'held', unsent: 2, oldest: 4_000 }), row({ device: 'gone', connected: false, heard: 3_000 }),
      row({ device: 'board', station: '', connected: false }), row({ device: 'long', unsent: 1, oldest: 1_000, connected: false }),
    ];
    expect(behind(rows).map(({ device }) => device)).toEqual(['long', 'gone', 'held']);
  });
});
