export const trustWords = {
  'trust.intro': {
    en: 'Every hour one forecast is kept. Here those of the last 60 days are held against when their units were released.',
    es: 'Cada hora se guarda un pronóstico. Aquí los de los últimos 60 días se comparan con la hora en que se liberaron sus unidades.',
  },
  'trust.none': { en: 'No unit of a kept forecast has been released yet: come back when some have.', es: 'Todavía no se libera ninguna unidad de un pronóstico guardado: vuelva cuando haya algunas.' },
  'trust.kept': { en: 'Line {line}, forecasts kept: {n}', es: 'Línea {line}, pronósticos guardados: {n}' },
  'trust.ahead': { en: 'Working days ahead', es: 'Días laborables de anticipación' },
  'trust.all': { en: 'All', es: 'Todos' },
  'trust.orMore': { en: '{n} or more', es: '{n} o más' },
  'trust.units': { en: 'Units', es: 'Unidades' },
  'trust.forecasts': { en: 'Forecasts of a unit', es: 'Pronósticos de una unidad' },
  'trust.coverage': { en: 'Within the 10 to 90 span; wanted 80 %', es: 'Dentro del tramo de 10 a 90; se busca 80 %' },
  'trust.tooEarly': { en: 'Was later', es: 'Salió después' },
  'trust.tooLate': { en: 'Was earlier', es: 'Salió antes' },
  'trust.pinball': { en: 'Pinball loss at 10, 50, 80, 90 %, min', es: 'Pérdida pinball a 10, 50, 80, 90 %, min' },
  'trust.crps': { en: 'CRPS, min', es: 'CRPS, min' },
  'trust.skillPace': { en: 'Better than stations left × pace by', es: 'Mejor que estaciones restantes × ritmo en' },
  'trust.skillMedians': { en: 'Better than the sum of medians by', es: 'Mejor que la suma de medianas en' },
  'trust.notes': {
    en: 'Minutes are working minutes of the line. CRPS (continuous ranked probability score) and pinball loss: smaller is better. Better by 100 % would be perfect, 0 % no better than the rule of thumb. Few units say little: forecasts of the same unit hang together.',
    es: 'Los minutos son laborables de la línea. CRPS (puntaje de probabilidad continuo) y pérdida pinball: menos es mejor. Mejor en 100 % sería perfecto, 0 % no mejor que la regla simple. Pocas unidades dicen poco: los pronósticos de una misma unidad van juntos.',
  },
} as const;
