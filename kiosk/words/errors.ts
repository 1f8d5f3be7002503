export const errorWords = {
  'error.noAnswer': { en: 'The server does not answer.', es: 'El servidor no responde.' },
  'error.other': { en: 'Not taken: {what}', es: 'No se aceptó: {what}' },
  'error.disk': { en: 'This device cannot keep scans: {what}', es: 'Este equipo no puede guardar escaneos: {what}' },
} as const;
