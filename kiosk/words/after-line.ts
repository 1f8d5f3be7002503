import { AFTER_LINE } from '../../server/core/forecast/after-line-codes.ts';
import { t } from './catalogue.ts';

/** A station's code as it is, and the stages of the forecast that are no station by name. */
export function stageName(code: string): string {
  const stage = (Object.keys(AFTER_LINE) as (keyof typeof AFTER_LINE)[]).find((key) => AFTER_LINE[key] === code);
  return stage === undefined ? code : t(`afterLine.${stage}`);
}
