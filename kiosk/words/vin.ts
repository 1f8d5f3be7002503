export const vinWords = {
  'vin.length': { en: 'A VIN has 17 characters; this has {length}.', es: 'Un VIN tiene 17 caracteres; este tiene {length}.' },
  'vin.illegalCharacter': { en: 'Character {position} is {sign}, which no VIN has.', es: 'El carácter {position} es {sign}, que ningún VIN tiene.' },
  'vin.illegalInstead': { en: 'Character {position} is {sign}, which no VIN has: look again, is it {instead}?', es: 'El carácter {position} es {sign}, que ningún VIN tiene: mire otra vez, ¿es {instead}?' },
  'vin.modelYear': { en: 'Character 10 is {sign}, which stands for no model year.', es: 'El carácter 10 es {sign}, que no corresponde a ningún año modelo.' },
  'vin.notDigit': { en: 'Character {position} is {sign}; the last four of a trailer are digits.', es: 'El carácter {position} es {sign}; los últimos cuatro de un remolque son dígitos.' },
  'vin.checkDigit': {
    en: 'Character 9, the check digit, is {sign}, but the others give {expected}: one of the 17 is misread or mistyped, or two are exchanged.',
    es: 'El carácter 9, el dígito verificador, es {sign}, pero los demás dan {expected}: uno de los 17 está mal leído o mal escrito, o dos están cambiados.',
  },
  'vin.unlike': { en: 'Character {position} is {sign}; this plant has {expected} there for this model.', es: 'El carácter {position} es {sign}; esta planta tiene ahí {expected} para este modelo.' },
  'vin.right': { en: 'Nothing wrong in its form. Compare it with the plate all the same.', es: 'Nada mal en su forma. Compárelo de todos modos con la placa.' },
  'vin.taken': { en: '{unit} has this VIN already.', es: '{unit} ya tiene este VIN.' },
  'vin.offer': { en: 'Take the next: {vin}', es: 'Tomar el siguiente: {vin}' },
} as const;
