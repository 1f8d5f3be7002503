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

describe('HSTS in the settings', () => {
  const days = (env: NodeJS.ProcessEnv) => readEnvironment(env, []).hstsDays;
  it('is nothing until it is asked for, and days, or none to take it back, with a certificate', () => {
    expect([days({}), days({ HTTPS: 'own' }), days({ HTTPS: 'own', HSTS_DAYS: '' })]).toEqual([null, null, null]);
    expect([days({ HTTPS: 'own', HSTS_DAYS: '180' }), days({ TLS_CERT: 'a', TLS_KEY: 'b', HSTS_DAYS: '0' })]).toEqual([180, 0]);
  });
  it.each([
    [{ HSTS_DAYS: '180' }, /HSTS_DAYS cannot be used without HTTPS=own/], [{ HTTPS: 'own', HSTS_DAYS: 'yes' }, /HSTS_DAYS=yes cannot be used: give a number from 0 to 730/],
    [{ HTTPS: 'own', HSTS_DAYS: '-1' }, /HSTS_DAYS=-1 cannot be used/], [{ HTTPS: 'own', HSTS_DAYS: '731' }, /HSTS_DAYS=731 cannot be used/],
  ])('that cannot be used stops with a line that says so: %j', (env, words) => expect(() => days(env)).toThrow(words));
});

describe('an OpenID provider in the settings', () => {
  const good = { OIDC_ISSUER: 'https://id.plant.example/realms/line', OIDC_CLIENT_ID: 'stationhand', OIDC_CLIENT_SECRET: 'secret', PUBLIC_URL: 'https://line.plant.example/' };
  const provider = (env: NodeJS.ProcessEnv) => readEnvironment(env, []).provider;
  it('is none, or all that is needed of one; its name is that of its machine when none is given', () => {
    expect(provider({})).toBeNull();
    expect(provider({ PUBLIC_URL: 'http://10.0.0.7:8080' })).toBeNull();
    expect(provider(good)).toEqual({ issuer: good.OIDC_ISSUER, clientId: 'stationhand', clientSecret: 'secret', name: 'id.plant.example', publicUrl: 'https://line.plant.example' });
    expect(provider({ ...good, OIDC_NAME: ' Plant ID ', OIDC_ISSUER: 'http://127.0.0.1:9000' })).toMatchObject({ name: 'Plant ID', issuer: 'http://127.0.0.1:9000' });
  });
  it.each([
    ...['OIDC_ISSUER', 'OIDC_CLIENT_ID', 'OIDC_CLIENT_SECRET', 'PUBLIC_URL'].map((name): [NodeJS.ProcessEnv, RegExp] => [{ ...good, [name]: '' }, new RegExp(`^${name} is missing`)]),
    [{ OIDC_NAME: 'Plant ID' }, /OIDC_ISSUER is missing/], [{ ...good, OIDC_ISSUER: 'http://id.plant.example' }, /OIDC_ISSUER cannot be used: give the https address/],
    [{ ...good, OIDC_ISSUER: 'id.plant.example' }, /OIDC_ISSUER cannot be used/], [{ ...good, PUBLIC_URL: 'https://line.plant.example/line' }, /PUBLIC_URL cannot be used/],
    [{ PUBLIC_URL: 'line.plant.example' }, /PUBLIC_URL cannot be used/],
  ] as [NodeJS.ProcessEnv, RegExp][])('that cannot be used stops with a line that says so, without the secret: %j', (env, words) => {
    expect(() => provider(env)).toThrow(words);
    expect(() => provider(env)).not.toThrow(/=secret/);
  });
});
