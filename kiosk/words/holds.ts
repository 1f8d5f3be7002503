export const holdsWords = {
  'holds.holds': { en: 'Open holds', es: 'Retenciones abiertas' },
  'holds.stops': { en: 'Open stops', es: 'Paros abiertos' },
  'holds.unknown': { en: 'Unknown units', es: 'Unidades desconocidas' },
  'holds.noHolds': { en: 'No hold is open.', es: 'No hay retenciones abiertas.' },
  'holds.noStops': { en: 'No stop is open.', es: 'No hay paros abiertos.' },
  'holds.noUnknown': { en: 'Every scanned unit is known.', es: 'Todas las unidades escaneadas son conocidas.' },
  'holds.age': { en: 'Open for', es: 'Desde hace' },
  'holds.keepsFrom': { en: 'Keeps from {what}', es: 'Impide {what}' },
  'holds.by': { en: 'by {who}', es: 'por {who}' },
  'holds.isUnit': { en: 'It is unit', es: 'Es la unidad' },
  'holds.promise': { en: 'promise {date}', es: 'promesa {date}' },
} as const;
