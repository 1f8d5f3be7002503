/** Why the server did not take a fact (`NoRight` of core/access), in the floor's words. */
export const refusalWords = {
  'refused.otherDevice': { en: 'It was stated by another device.', es: 'Lo registró otro equipo.' },
  'refused.notPaired': { en: 'This device was not paired, and nobody signed in, when it happened.', es: 'El equipo no estaba vinculado, ni nadie con sesión, cuando ocurrió.' },
  'refused.otherStation': { en: 'This kiosk does not serve that station.', es: 'Este quiosco no atiende esa estación.' },
  'refused.unknownBadge': { en: 'Nobody wore this badge when it happened.', es: 'Nadie llevaba esta credencial cuando ocurrió.' },
  'refused.noRole': { en: 'The person had no right to it when it happened.', es: 'La persona no tenía permiso cuando ocurrió.' },
  'refused.notSignedIn': { en: 'A badge is not enough for it: sign in, or give the PIN.', es: 'No basta la credencial: inicie sesión o dé el PIN.' },
  'refused.wrongPin': { en: 'The PIN was not that of the badge.', es: 'El PIN no era el de la credencial.' },
  'refused.voidOfOthers': { en: 'What another device stated is voided by a supervisor or quality.', es: 'Lo que registró otro equipo lo anula un supervisor o calidad.' },
  'refused.gateHolds': { en: 'The gate holds again.', es: 'El control vuelve a valer.' },
} as const;
