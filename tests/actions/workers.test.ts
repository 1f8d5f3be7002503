import { getPriority } from 'node:os';
import { expect, it } from 'vitest';
import { createWorkers } from '../../server/actions/workers.ts';

it('runs nothing after the threads were ended, so that a program that stops does not wait for it', async () => {
  const workers = createWorkers();
  const wanted = { history: { line: 'L', setups: [], units: [], stops: [], floorTime: [] }, first: 0, last: 0, latest: 0 };
  expect(await workers.run('endedVisitsOf', wanted)).toEqual([]);
  await workers.close();
  await expect(workers.run('endedVisitsOf', wanted)).rejects.toMatchObject({ code: 'tooBusy' });
});
