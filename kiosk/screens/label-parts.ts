import { html, nothing, type TemplateResult } from 'lit';
import { GRAVE_FAULTS, type LabelFault } from '../../server/core/gates/label-faults.ts';
import type { StatedName } from '../../server/core/gates/label-stated.ts';
import { t } from '../words/catalogue.ts';

export function figureName({ name, axle }: { name: StatedName; axle: number | null }): string {
  return axle === null ? t(`figure.${name}`) : t('labels.axle', { name: t(`figure.${name}`), n: axle });
}

export function faultList(faults: readonly LabelFault[]): TemplateResult | typeof nothing {
  if (faults.length === 0) return nothing;
  return html`<ul>${faults.map((fault) => {
    const grave = GRAVE_FAULTS.includes(fault.kind);
    return html`<li><span class="tag ${grave ? 'red' : 'yellow'}">${grave ? '✖' : '▲'} ${t(`labelFault.${fault.kind}`, { axle: fault.axle ?? '', is: fault.is, against: fault.against })}</span></li>`;
  })}</ul>`;
}
