const words = {
  traveler: { en: 'Unit traveler', es: 'Hoja viajera' }, model: { en: 'Model', es: 'Modelo' }, options: { en: 'Options', es: 'Opciones' },
  order: { en: 'Order', es: 'Pedido' }, dealer: { en: 'Dealer', es: 'Distribuidor' }, promise: { en: 'Promise', es: 'Promesa' },
  route: { en: 'Route', es: 'Ruta' }, station: { en: 'Station', es: 'Estación' }, standard: { en: 'Standard minutes', es: 'Minutos estándar' },
  finished: { en: 'Finished, by', es: 'Terminado, por' }, openWork: { en: 'Open work', es: 'Trabajo pendiente' }, none: { en: 'none', es: 'ninguno' },
  holds: { en: 'Holds', es: 'Retenciones' }, checks: { en: 'Checks', es: 'Revisiones' }, parts: { en: 'Parts to record', es: 'Componentes por registrar' }, number: { en: 'Number', es: 'Número' },
  hold: { en: 'HOLD', es: 'RETENIDA' }, component: { en: 'Component', es: 'Componente' }, since: { en: 'since', es: 'desde' }, noTags: { en: 'This unit has no open hold and no recorded part.', es: 'Esta unidad no tiene retenciones abiertas ni componentes registrados.' },
  placards: { en: 'Station placards', es: 'Rótulos de estación' }, printed: { en: 'Printed {time}: what is stated after that is not on this paper.', es: 'Impreso {time}: lo que se declare después no está en este papel.' },
  defer: { en: 'Qualified people only, by the plant’s procedure. Local codes and licensed practice come first.', es: 'Solo personal calificado, según el procedimiento de la planta. Primero los códigos locales y el ejercicio autorizado.' },
  unconfirmed: { en: 'Limits are examples until confirmed by the plant against the code in force.', es: 'Los límites son ejemplos hasta que la planta los confirme con el reglamento vigente.' },
} as const;

export type PaperLanguage = 'en' | 'es';

export function paperWord(language: PaperLanguage, key: keyof typeof words, params: Record<string, string> = {}): string {
  return words[key][language].replaceAll(/\{(\w+)\}/g, (whole, name: string) => params[name] ?? whole);
}
