/** The words of the late-unit report on paper. */
export const latePdfWords = {
  en: {
    title: 'Late units', none: 'No unit is late.', held: 'Held', stopped: 'Stopped', open: 'Open work', late: 'Late', atRisk: 'At risk', inTime: 'In time', tooLate: 'too late',
    noForecast: 'No forecast has been made.', made: 'Forecast made {time}.', span: 'The bar reaches from the 10th to the 90th percentile of ready to ship; the line across is the promise.',
    heads: ['Unit', 'Dealer', 'Promise', 'Place, and what stops it', 'Probability late', 'Ready, middle', 'Clear by'],
  },
  es: {
    title: 'Unidades atrasadas', none: 'Ninguna unidad está atrasada.', held: 'Retenida', stopped: 'Parada', open: 'Trabajo abierto', late: 'Atrasada', atRisk: 'En riesgo', inTime: 'A tiempo',
    tooLate: 'ya es tarde', noForecast: 'No se ha hecho ningún pronóstico.', made: 'Pronóstico hecho {time}.',
    span: 'La barra va del percentil 10 al 90 de lista para embarcar; la línea que la cruza es la promesa.',
    heads: ['Unidad', 'Concesionario', 'Promesa', 'Lugar, y qué la detiene', 'Probabilidad de atraso', 'Lista, mediana', 'Resolver antes de'],
  },
} as const;

export type PdfLanguage = keyof typeof latePdfWords;
