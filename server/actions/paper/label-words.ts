import type { LabelFault } from '../../core/gates/label-faults.ts';
import type { FigureMissing, FigureName } from '../../core/gates/label-figures.ts';
import type { LabelKind } from '../../core/setup/labels.ts';
import type { PaperLanguage } from './words.ts';

type Said = Record<PaperLanguage, string>;

export const LABEL_NAMES: Record<LabelKind, Said> = {
  certification: { en: 'Certification label (49 CFR 567.4)', es: 'Etiqueta de certificación (49 CFR 567.4)' },
  tires: { en: 'Tire and loading placard (49 CFR {rule})', es: 'Placa de llantas y carga (49 CFR {rule})' }, cargo: { en: 'Cargo label', es: 'Etiqueta de carga' },
};

export const FIGURE_NAMES: Record<FigureName, Said> = {
  maker: { en: 'Maker', es: 'Fabricante' }, manufactured: { en: 'Month and year of manufacture', es: 'Mes y año de fabricación' }, gvwr: { en: 'GVWR', es: 'GVWR (peso bruto máximo)' },
  gawr: { en: 'GAWR', es: 'GAWR (máximo por eje)' }, conformity: { en: 'Conformity statement', es: 'Declaración de conformidad' }, vin: { en: 'VIN', es: 'VIN' },
  type: { en: 'Vehicle type', es: 'Tipo de vehículo' }, cargo: { en: 'Cargo, at most', es: 'Carga, máximo' }, tire: { en: 'Tire size', es: 'Medida de llanta' }, rim: { en: 'Rim', es: 'Rin' },
  pressure: { en: 'Cold pressure', es: 'Presión en frío' }, spare: { en: 'Spare', es: 'Refacción' }, water: { en: 'Fresh water tank, full', es: 'Tanque de agua, lleno' },
  waterWeight: { en: 'Full water weighs (1 kg/L, 8.3 lb/gal)', es: 'El agua llena pesa (1 kg/L, 8.3 lb/gal)' },
};

export const FIGURE_MISSING: Record<FigureMissing, Said> = {
  noFigures: { en: 'no figures in the set-up', es: 'sin cifras en la configuración' }, notStated: { en: 'not in the set-up', es: 'no está en la configuración' }, notWeighed: { en: 'not weighed', es: 'sin pesar' },
  noVin: { en: 'no VIN is bound', es: 'sin VIN asignado' }, vinWrong: { en: 'something is wrong in the VIN', es: 'algo está mal en el VIN' }, notBuilt: { en: 'not off the line yet', es: 'todavía en la línea' },
};

export const FAULT_WORDS: Record<LabelFault['kind'], Said> = {
  tiresBelowGawr: { en: 'The tires of axle {axle} carry {is}, less than its GAWR {against}', es: 'Las llantas del eje {axle} cargan {is}, menos que su GAWR {against}' },
  noCargo: { en: 'Nothing may be loaded: cargo {is}', es: 'No se puede cargar nada: carga {is}' },
  axlesBelowGvwr: { en: 'The axles together carry {is}, the GVWR is {against}: right only if the tongue or pin carries the rest', es: 'Los ejes juntos cargan {is} y el GVWR es {against}: correcto solo si el resto va en el enganche' },
  waterAboveCargo: { en: 'A full water tank weighs {is}, more than may be loaded: {against}', es: 'El tanque de agua lleno pesa {is}, más de lo que se puede cargar: {against}' },
  unitsApart: { en: 'Two units that do not say the same: {is}, {against}', es: 'Dos unidades que no dicen lo mismo: {is}, {against}' },
};

const said = {
  title: { en: 'Figures of the labels', es: 'Cifras de las etiquetas' }, axle: { en: 'axle {n}', es: 'eje {n}' }, missing: { en: 'MISSING: {why}', es: 'FALTA: {why}' },
  none: { en: 'The set-up of the plant has no labels.', es: 'La configuración de la planta no tiene etiquetas.' },
  defer: { en: 'Figures only: the wording of a label is the plant’s own. The plant confirms these figures against the rule in force.', es: 'Solo cifras: el texto de cada etiqueta es de la planta. La planta confirma estas cifras con la norma vigente.' },
  confirmed: { en: 'Figures confirmed by {who}, {when}, against {edition}.', es: 'Cifras confirmadas por {who}, {when}, con {edition}.' },
  notConfirmed: { en: 'These figures are not confirmed by the plant.', es: 'La planta no ha confirmado estas cifras.' },
  fitted: { en: 'Fitted and compared, by', es: 'Colocada y comparada, por' },
} as const satisfies Record<string, Said>;

export function labelWord(language: PaperLanguage, key: keyof typeof said, params: Record<string, string | number> = {}): string {
  return filled(said[key][language], params);
}

export function filled(text: string, params: Record<string, string | number>): string {
  return text.replaceAll(/\{(\w+)\}/g, (whole, name: string) => String(params[name] ?? whole));
}
