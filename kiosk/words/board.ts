export const boardWords = {
  'board.somebody': { en: 'Needs somebody', es: 'Necesita a alguien' },
  'board.nothing': { en: 'Nothing on the line needs somebody.', es: 'Nada en la línea necesita a alguien.' },
  'board.plan': { en: 'Released: {left} of {planned} planned by now', es: 'Liberadas a línea: {left} de {planned} previstas hasta ahora' },
  'board.over': { en: '{n} min over standard', es: '{n} min sobre el estándar' },
  'board.unknown': { en: 'Unknown unit', es: 'Unidad desconocida' },
  'board.of': { en: '{work} of {standard} min', es: '{work} de {standard} min' },
  'board.line': { en: '{line}', es: '{line}' },
  'board.empty': { en: 'No unit here', es: 'Ninguna unidad aquí' },
  'board.noLines': { en: 'This plant has no line yet.', es: 'Esta planta aún no tiene línea.' },
} as const;
