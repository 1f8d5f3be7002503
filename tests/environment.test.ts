import { describe, expect, it } from 'vitest';
import { readEnvironment } from '../server/environment.ts';

describe('https in the settings', () => {
  const https = (env: NodeJS.ProcessEnv) => readEnvironment(env, []).https;
  it('is off, of the program\'s own, or given', () => {
    expect(https({})).toBeNull();
    expect(https({ HTTPS: 'own', TLS_NAMES: 'line.plant.example, 10.0.0.7' })).toEqual({ from: 'own', names: ['line.plant.example', '10.0.0.7'] });
    expect(https({ TLS_CERT: '/etc/plant.crt', TLS_KEY: '/etc/plant.key' })).toEqual({ from: 'files', cert: '/etc/plant.crt', key: '/etc/plant.key' });
  });
  it.each([
    [{ TLS_CERT: 'a.crt' }, /TLS_KEY is missing/], [{ TLS_KEY: 'a.key' }, /TLS_CERT is missing/], [{ HTTPS: 'yes' }, /HTTPS=yes cannot be used: give own/],
    [{ HTTPS: 'own', TLS_NAMES: 'a b' }, /a b is no host name/],
  ])('that cannot be used stops with a line that says so: %j', (env, words) => expect(() => https(env)).toThrow(words));
});
