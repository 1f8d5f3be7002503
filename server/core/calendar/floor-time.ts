import type { FloorTime } from '../timeline/line-history.ts';
import { type Shift } from './shifts.ts';
import { type Stretch, union, without } from './stretches.ts';

/**
 * The working stretches after what the floor said on the day: open until goes on past the shift's end, gone home ends the
 * work until the next shift starts. Said in order; the later word counts.
 */
export function applyFloorTime(stretches: readonly Stretch[], shifts: readonly Shift[], said: readonly FloorTime[]): Stretch[] {
  let result = [...stretches];
  for (const { kind, happened, until } of [...said].sort((a, b) => a.happened - b.happened)) {
    const shift = shifts.find(({ start, end }) => start <= happened && happened < end);
    if (kind === 'openUntil') {
      // In a shift that still runs to its end its breaks stay breaks; after gone home, work resumes when it is said.
      const runs = shift !== undefined && result.some(({ to }) => to === shift.end);
      result = union([...result, { from: runs ? shift.end : happened, to: until ?? happened }]);
    } else {
      const next = shifts.find(({ start }) => start > happened);
      result = without(result, { from: happened, to: next?.start ?? Number.POSITIVE_INFINITY });
    }
  }
  return result;
}
