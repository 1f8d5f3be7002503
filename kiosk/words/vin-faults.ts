import type { VinFault } from '../../server/core/gates/vin.ts';
import { t } from './catalogue.ts';

/** One fault in words. */
export function faultText(fault: VinFault): string {
  switch (fault.kind) {
    case 'length': return t('vin.length', { length: fault.length });
    case 'illegalCharacter': return t(fault.instead === null ? 'vin.illegalCharacter' : 'vin.illegalInstead', { ...fault, instead: fault.instead ?? '' });
    case 'modelYear': return t('vin.modelYear', { sign: fault.sign });
    case 'notDigit': return t('vin.notDigit', { position: fault.position, sign: fault.sign });
    case 'checkDigit': return t('vin.checkDigit', { sign: fault.sign, expected: fault.expected });
  }
}
