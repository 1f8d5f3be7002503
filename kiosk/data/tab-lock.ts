/**
 * Runs `work` in one tab of this device at a time; with `skip`, not at all while another tab is at it, and null is the answer. A page that came
 * neither over https nor from this machine is given no locks by its browser: there `work` just runs, so it must do no harm twice.
 */
export async function inOneTab<T>(name: string, work: () => Promise<T>, skip = false): Promise<T | null> {
  if (!('locks' in navigator)) return work();
  return navigator.locks.request(name, { ifAvailable: skip }, async (lock) => (lock ? work() : null));
}
