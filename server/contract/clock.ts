/** Header of every reply of the API: the instant by the server's clock at which it was given, in milliseconds since 1970. */
export const NOW_HEADER = 'stationhand-now';
