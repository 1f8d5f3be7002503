import type { UnitState } from '../../core/facts/unit-state.ts';
import { openWork } from '../../core/gates/access.ts';
import { checksFor } from '../../core/gates/check.ts';
import type { Plant } from '../../core/setup/plant.ts';
import { type Check, isFor } from '../../core/setup/quality.ts';
import { routeOf } from '../../core/setup/setup-at.ts';
import type { Instant } from '../../core/units.ts';
import { type Html, html, page, printedCode } from './page.ts';
import { type PaperLanguage, paperWord } from './words.ts';

/** The paper that rolls with a unit: what it is, its route, what is open on it as of `at`, and its codes to scan. */
export async function traveler(plant: Plant, state: UnitState, at: Instant, language: PaperLanguage): Promise<string> {
  const w = (key: Parameters<typeof paperWord>[1], params: Record<string, string> = {}): string => paperWord(language, key, params);
  const codes = [await printedCode('qrcode', state.unit), await printedCode('code128', state.unit)];
  // A VIN in a bar code bears the data identifier I (SAE J1877).
  if (state.vin !== null) codes.push(await printedCode('code39', `I${state.vin}`, state.vin));
  const model = plant.models.find(({ code }) => code === state.model);
  const options = state.options.map((code) => plant.options.find((option) => option.code === code)?.name ?? code);
  const rows: [string, string][] = [[w('model'), model?.name ?? state.model ?? ''], [w('options'), options.join(', ')], [w('order'), state.order], [w('dealer'), state.dealer], [w('promise'), state.promise ?? '']];
  const time = new Date(at).toLocaleString(language === 'es' ? 'es-US' : 'en-US', { timeZone: plant.timeZone, dateStyle: 'medium', timeStyle: 'short' });
  return page(language, `${w('traveler')} ${state.unit}`, html`
    <header><div><p>${plant.name} · ${w('traveler')}</p><h1>${state.unit}</h1>
      ${rows.filter(([, value]) => value !== '').map(([label, value]) => html`<div>${label}: <b>${value}</b></div>`)}</div><div>${codes}</div></header>
    <h2>${w('openWork')}</h2>${list(openOn(state), w('none'))}
    <h2>${w('holds')}</h2>${list(state.holds.map(({ reason, note }) => html`<li>${reason} ${note}</li>`), w('none'))}
    <h2>${w('route')}</h2>${route(plant, state, w)}
    ${checks(checksFor(plant, state.model, state.options), w)}${parts(plant, state, w)}
    <p>${w('printed', { time })}</p>`);
}

type Words = (key: Parameters<typeof paperWord>[1]) => string;

function openOn(state: UnitState): Html[] {
  return [
    ...state.shorts.map(({ what, owner, fitAt }) => html`<li>${what} (${owner}) ${fitAt ?? ''}</li>`),
    ...openWork(state.work).map(({ what, zone, belongsTo }) => html`<li>${what} ${zone ?? ''} ${belongsTo ?? ''}</li>`),
  ];
}

const list = (items: readonly Html[], none: string): Html => (items.length === 0 ? html`<p>${none}</p>` : html`<ul>${items}</ul>`);

function route(plant: Plant, state: UnitState, w: Words): Html {
  const lines = plant.lines.filter(({ purpose }) => purpose !== 'feeder');
  const names = new Map(lines.flatMap((line) => line.stations.map(({ code, name }) => [code, name] as const)));
  const steps = lines.flatMap((line) => routeOf(plant, line, state.model, state.options));
  return html`<table><thead><tr><th>${w('station')}</th><th></th><th>${w('standard')}</th><th class="sign">${w('finished')}</th></tr></thead><tbody>${steps.map(({ station, standard }) =>
    html`<tr><td>${station}</td><td>${names.get(station) ?? ''}</td><td>${Math.round(standard)}</td><td></td></tr>`)}</tbody></table>`;
}

function checks(wanted: readonly Check[], w: Words): Html {
  if (wanted.length === 0) return html``;
  const unconfirmed = wanted.some(({ items }) => items.some((item) => item.kind === 'measured' && item.confirmed === null));
  return html`<h2>${w('checks')}</h2>${wanted.map((check) => html`<p><b>${check.station} ${check.name}</b> (${check.version})</p>${check.caution === '' ? html`` : html`<p class="caution">⚠ ${check.caution} ${w('defer')}</p>`}`)}
    ${unconfirmed ? html`<p>${w('unconfirmed')}</p>` : html``}`;
}

function parts(plant: Plant, state: UnitState, w: Words): Html {
  const kinds = (plant.partKinds ?? []).filter((kind) => isFor(kind, state.model, state.options));
  if (kinds.length === 0) return html``;
  const numberOf = (code: string): string => state.parts.filter(({ part }) => part === code).map(({ number }) => number).join(', ');
  return html`<h2>${w('parts')}</h2><table><tbody>${kinds.map(({ code, name, station }) => html`<tr><td>${station}</td><td>${name}</td><td class="sign">${numberOf(code)}</td></tr>`)}</tbody></table>`;
}
