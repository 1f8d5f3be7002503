import type { ReadCode } from '../data/read-code.ts';
import { t } from './catalogue.ts';

/** What the screen says of a scanned code that moves no unit. */
export function codeWord(read: Exclude<ReadCode, { kind: 'unit' }>): { kind: 'good' | 'act' | 'wrong'; words: string } {
  const { code } = read;
  switch (read.kind) {
    case 'badge': return { kind: 'good', words: t('station.badgeOf', { code }) };
    case 'component': return { kind: 'act', words: t('station.component', { code }) };
    case 'misread': return { kind: 'wrong', words: t(`station.misread.${read.why}`, { code }) };
    case 'unknown': return { kind: 'act', words: t('station.unknownCode', { code }) };
  }
}
