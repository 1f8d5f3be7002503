import { html, nothing, type TemplateResult } from 'lit';
import type { UnitState } from '../../server/core/facts/unit-state.ts';
import { nextCovering, openWork } from '../../server/core/gates/access.ts';
import { checksFor, checkStanding } from '../../server/core/gates/check.ts';
import type { LabelLack } from '../../server/core/gates/label-signed.ts';
import { type Missing, missingForRelease } from '../../server/core/gates/release.ts';
import type { Plant } from '../../server/core/setup/plant.ts';
import type { Instant, Minutes } from '../../server/core/units.ts';
import { t } from '../words/catalogue.ts';
import { breachWords } from './breach-list.ts';
import { limitsTag } from './quality-parts.ts';
import { reasonText } from '../words/reasons.ts';

/** Open work, checks, recorded parts of the unit, and what is missing for its release (definitions §8). `worked` as in `nextCovering`. */
export function qualityPanel(plant: Plant, state: UnitState, at: Instant, worked: Minutes): TemplateResult {
  const work = openWork(state.work);
  const checks = checksFor(plant, state.model, state.options);
  const section = (title: string, rows: readonly TemplateResult[]): TemplateResult | typeof nothing => (rows.length === 0 ? nothing : html`<h2>${title}</h2><ul>${rows}</ul>`);
  return html`${section(t('quality.openWork'), work.map((one) => html`<li>${one.severity === 'safety' ? '✖' : '▲'} <b>${one.what}</b> (${t(`severity.${one.severity}`)}, ${t(one.status === 'fixed' ? 'work.fixed' : 'work.found')})
      ${one.belongsTo ?? ''} ${one.zone === null ? '' : access(plant, state, one.zone, worked)}</li>`))}
    ${section(t('quality.checks'), checks.map((check) => {
      const own = state.checks.find((one) => one.check === check.code);
      const standing = checkStanding(check, own, at);
      return html`<li>${standing === 'passed' ? '✔' : standing === 'failed' ? '✖' : '▲'} ${check.station} ${check.name}: ${t(`standing.${standing}`)} ${limitsTag(check, own)}</li>`;
    }))}
    ${section(t('breach.title'), state.breaches.map((breach) => html`<li>⬣ ${breachWords(plant, breach)} ${breach.settled ? t('breach.settled', { ...breach.settled }) : ''}</li>`))}
    ${section(t('quality.parts'), state.parts.map(({ part, number, lot }) => html`<li>${plant.partKinds?.find(({ code }) => code === part)?.name ?? part}: ${number} ${lot}</li>`))}
    ${state.shipped !== null || state.released !== null ? nothing : missingList(missingForRelease(state, plant, at))}`;
}

/** How long the zone can still be reached, as far as standard minutes say. */
function access(plant: Plant, state: UnitState, code: string, worked: Minutes): string {
  const zone = plant.zones?.find((one) => one.code === code)?.name ?? code;
  if (state.covered.includes(code)) return t('quality.covered', { zone });
  const next = nextCovering(plant, state, code, worked);
  return next ? t('quality.coveredBy', { station: next.station, zone, minutes: Math.round(next.minutes) }) : zone;
}

function missingList(missing: readonly Missing[]): TemplateResult {
  if (missing.length === 0) return html`<p>✔ ${t('quality.nothingMissing')}</p>`;
  return html`<h2>${t('quality.missing')}</h2><ol>${missing.map((one) => html`<li>${missingText(one)}</li>`)}</ol>`;
}

/** What is missing in words: what to do, where, and how it stands. */
export function missingText({ kind, what, station, detail }: Missing): string {
  const standing = kind === 'check' || kind === 'certify' ? ` (${t(`standing.${detail as 'missing' | 'failed' | 'dueAgain' | 'tooOld'}`)})` : '';
  const lack = kind === 'label' ? ` (${t(`labels.lack.${detail as LabelLack}`)})` : '';
  return `${t(`missing.${kind}`, { what: reasonText(what) })}${station === null ? '' : ` – ${station}`}${standing}${lack}`;
}
