/** What a person reads about an error: what was wrong, where, and what to do about it. */
export interface ErrorText {
  what: string;
  where: string;
  whatToDo: string;
}

/**
 * The closed list of errors: everything that Stationhand refuses or fails at has a code here. The text is what is said
 * when the place that raises it knows nothing more exact. Which HTTP status answers which code is the translator's.
 */
export const ERRORS = {
  malformedFact: {
    what: 'The fact does not have the form of a fact.',
    where: 'the fact',
    whatToDo: 'Put the named field right and send the fact again; the other facts of the batch are not affected.',
  },
  factIdTaken: {
    what: 'Another fact already has this id.',
    where: 'id',
    whatToDo: 'Give every fact an id of its own; to put a mistake right, void the fact and state a new one.',
  },
  noRight: {
    what: 'This person or device had no right to state this when it happened.',
    where: 'the fact',
    whatToDo: 'Ask a supervisor of the plant.',
  },
  noIdentity: {
    what: 'Nobody is signed in here, and this device is not paired.',
    where: 'the request',
    whatToDo: 'Sign in, or pair the device with a code that a supervisor shows.',
  },
  signInRefused: {
    what: 'That name and password, or badge and PIN, do not belong together.',
    where: 'the sign-in',
    whatToDo: 'Try again; an administrator gives a new link or PIN.',
  },
  signInWaits: {
    what: 'Too many failed tries: the next is looked at a little later.',
    where: 'the sign-in',
    whatToDo: 'Wait and try again. Others, and other devices, are not held up.',
  },
  providerAway: {
    what: 'The OpenID provider does not answer.',
    where: 'the sign-in',
    whatToDo: 'Try again in a little while, or sign in by name and password.',
  },
  providerSettings: {
    what: 'The OpenID provider and this program are not set up for each other.',
    where: 'the sign-in',
    whatToDo: 'Sign in by name and password, and tell whoever looks after the server: its log says more.',
  },
  weakPassword: {
    what: 'The password is too easy to guess.',
    where: 'password',
    whatToDo: 'Choose one of at least 12 characters that does not hold your name.',
  },
  linkNotGood: {
    what: 'This link was used already, or is older than a day.',
    where: 'the link',
    whatToDo: 'Ask an administrator for a new one; the first one is printed anew when the program starts.',
  },
  codeNotGood: {
    what: 'This code was used already, is older than ten minutes, or never was one.',
    where: 'code',
    whatToDo: 'Ask a supervisor for a new code.',
  },
  pairAgain: {
    what: 'This kiosk was paired before, and facts wait on it that were stated then: by this code they would be left behind.',
    where: 'code',
    whatToDo: 'Ask a supervisor for a code that pairs this kiosk again: on the screen Devices, beside its name. This code is still good for another.',
  },
  personTaken: {
    what: 'Another person has this badge, or signs in by this name.',
    where: 'badge or login',
    whatToDo: 'Choose another. A badge that anybody ever wore is not given again, because facts carry it.',
  },
  unknownPerson: {
    what: 'The plant has no such person.',
    where: 'the address',
    whatToDo: 'Look the person up again.',
  },
  unknownDevice: {
    what: 'The plant has no such device that is paired.',
    where: 'the address',
    whatToDo: 'Look at the list of devices again.',
  },
  wrongOrigin: {
    what: 'The request comes from a page of another site.',
    where: 'header origin',
    whatToDo: 'Open the program at its own address.',
  },
  tooManyRequests: {
    what: 'This device or address asks more often than it may.',
    where: 'the request',
    whatToDo: 'Wait a minute; a kiosk does so by itself and keeps everything until then.',
  },
  malformedJson: {
    what: 'The body is not JSON that can be read.',
    where: 'the body',
    whatToDo: 'Send JSON in UTF-8 with content type application/json.',
  },
  malformedBody: {
    what: 'The body does not have the form this route takes.',
    where: 'the body',
    whatToDo: 'Put the named field right and send it again.',
  },
  malformedQuery: {
    what: 'A value in the address is not one this route takes.',
    where: 'the address',
    whatToDo: 'Put the named value right and send it again.',
  },
  wrongMediaType: {
    what: 'This route does not take a body of this content type.',
    where: 'header content-type',
    whatToDo: 'Send application/json, text/csv to an import, or image/jpeg to a photo.',
  },
  bodyTooLarge: {
    what: 'The body is larger than this route takes.',
    where: 'the body',
    whatToDo: 'Send it in smaller parts.',
  },
  batchTooLarge: {
    what: 'The batch holds more facts than one request may.',
    where: 'facts',
    whatToDo: 'Send the facts in smaller batches, in order; none of this batch was recorded.',
  },
  malformedPlant: {
    what: 'The set-up of the plant cannot be used as it is.',
    where: 'the plant file',
    whatToDo: 'Put the named entries right and load the file again; the set-up in force did not change.',
  },
  malformedUnits: {
    what: 'The file of units has rows that cannot be used.',
    where: 'the file of units',
    whatToDo: 'Put the named rows right, or import only the good ones.',
  },
  unknownPlant: {
    what: 'There is no plant with this code.',
    where: 'the address',
    whatToDo: 'Check the code, or load the set-up of the plant first.',
  },
  unknownUnit: {
    what: 'The plant has no unit with this serial.',
    where: 'the address',
    whatToDo: 'Check the serial, or import the unit first.',
  },
  unknownCheck: {
    what: 'The set-up in force has no such check, or its item has no limits.',
    where: 'the address',
    whatToDo: 'Check the codes: the set-up of the plant names its checks and their items.',
  },
  noLabelFigures: {
    what: 'The set-up in force has no label figures for the build of this unit.',
    where: 'the address',
    whatToDo: 'Put figures for its model and options into labels of the set-up first.',
  },
  setupChanged: {
    what: 'The set-up of the plant changed meanwhile.',
    where: 'the set-up',
    whatToDo: 'Look at what holds now, and say it again if it is still right.',
  },
  malformedPhoto: {
    what: 'The photo is not a JPEG that is kept here.',
    where: 'the photo',
    whatToDo: 'Send one JPEG of at most 1280 pixels a side and 1,000,000 bytes under an id of its own.',
  },
  unknownPhoto: {
    what: 'The plant has no photo with this id.',
    where: 'the address',
    whatToDo: 'It may still be on the device that took it: connect that device, and look again.',
  },
  unknownLine: {
    what: 'The plant has no line with this code.',
    where: 'the address',
    whatToDo: 'Check the code: the set-up of the plant names its lines.',
  },
  unknownRoute: {
    what: 'There is nothing at this address.',
    where: 'the address',
    whatToDo: 'Check the address and the method.',
  },
  releaseRefused: {
    what: 'The unit may not be released to ship.',
    where: 'the unit',
    whatToDo: 'Settle what is named, then release it again.',
  },
  shipRefused: {
    what: 'A unit may not be marked shipped.',
    where: 'the unit',
    whatToDo: 'Have quality release it, or say why it goes all the same.',
  },
  tooBusy: {
    what: 'The server has more to do than it can take at the moment.',
    where: 'the server',
    whatToDo: 'Send the same again in a few seconds; a kiosk does so by itself and keeps everything until then.',
  },
  databaseAway: {
    what: 'The database does not answer.',
    where: 'the server',
    whatToDo: 'Send the same again in a few seconds; a kiosk does so by itself and keeps everything until then.',
  },
  internal: {
    what: 'The program failed at this request.',
    where: 'the server',
    whatToDo: 'Send the same again; if it fails again, tell whoever looks after the server, with the time.',
  },
} as const satisfies Record<string, ErrorText>;

export type ErrorCode = keyof typeof ERRORS;

/** What every refused or failed request is answered with. */
export interface ErrorReply {
  error: { code: ErrorCode } & ErrorText;
}

/** The reply for `code`; what `text` leaves out is said in the words of the list. */
export function errorReply(code: ErrorCode, text: Partial<ErrorText> = {}): ErrorReply {
  const general = ERRORS[code];
  return {
    error: {
      code,
      what: text.what ?? general.what,
      where: text.where ?? general.where,
      whatToDo: text.whatToDo ?? general.whatToDo,
    },
  };
}

/** An error of the closed list. `context` is for the log and is never sent. */
export class StationhandError extends Error {
  readonly code: ErrorCode;
  readonly where: string;
  readonly whatToDo: string;
  readonly context: unknown;

  constructor(code: ErrorCode, text: Partial<ErrorText> = {}, context: unknown = null) {
    const { error } = errorReply(code, text);
    super(error.what);
    this.name = 'StationhandError';
    this.code = code;
    this.where = error.where;
    this.whatToDo = error.whatToDo;
    this.context = context;
  }

  toReply(): ErrorReply {
    return errorReply(this.code, { what: this.message, where: this.where, whatToDo: this.whatToDo });
  }
}
