export const hoursWords = {
  'hours.title': { en: 'Working hours', es: 'Horario' },
  'hours.outside': { en: 'Outside working time. Is the line working?', es: 'Fuera del horario. ¿Está trabajando la línea?' },
  'hours.until': { en: 'Open until', es: 'Abierto hasta' },
  'hours.where': { en: 'Where', es: 'Dónde' },
  'hours.line': { en: 'line {line}', es: 'línea {line}' },
  'hours.station': { en: 'station {station} only', es: 'solo estación {station}' },
  'hours.open': { en: 'It is open', es: 'Está abierto' },
  'hours.goneHome': { en: 'Gone home: {where}', es: 'Se fueron a casa: {where}' },
} as const;
