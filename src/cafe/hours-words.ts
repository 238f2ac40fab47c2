/**
 * The words of one language on a door. Weekdays Monday first, each with its full name before its
 * short forms; any beginning of a full name of two letters or more is understood as well. All
 * words in small letters without accents; several words in one entry are a phrase.
 */
export type DoorWords = {
  readonly days: readonly [Names, Names, Names, Names, Names, Names, Names];
  readonly everyDay: Names;
  readonly weekdays: Names;
  readonly weekend: Names;
  readonly holidays: Names;
  readonly closed: Names;
  readonly to: Names;
  readonly and: Names;
  readonly noon: Names;
  readonly midnight: Names;
  /** Words that say nothing here: "from", "open", "o'clock". */
  readonly filler: Names;
};

type Names = readonly string[];

export const ENGLISH_DOOR: DoorWords = {
  days: [
    ['monday', 'mondays', 'mon', 'm'],
    ['tuesday', 'tuesdays', 'tue', 'tues'],
    ['wednesday', 'wednesdays', 'wed', 'weds', 'w'],
    ['thursday', 'thursdays', 'thu', 'thur', 'thurs'],
    ['friday', 'fridays', 'fri', 'f'],
    ['saturday', 'saturdays', 'sat'],
    ['sunday', 'sundays', 'sun'],
  ],
  everyDay: ['every day', 'everyday', 'daily', 'all days', 'all week', '7 days a week'],
  weekdays: ['weekdays', 'weekday', 'workdays', 'working days'],
  weekend: ['weekend', 'weekends', 'the weekend'],
  holidays: ['holidays', 'holiday', 'public holidays', 'bank holidays'],
  closed: ['closed', 'close', 'shut', 'off', 'not open', 'day off'],
  to: ['to', 'till', 'til', 'until', 'through', 'thru'],
  and: ['and'],
  noon: ['noon', 'midday'],
  midnight: ['midnight'],
  filler: ['open', 'opens', 'we are', 'from', 'on', 'at', 'the', 'hours', 'oclock', 'o clock', 'h'],
};

export const GERMAN_DOOR: DoorWords = {
  days: [
    ['montag', 'montags', 'mo'],
    ['dienstag', 'dienstags', 'di'],
    ['mittwoch', 'mittwochs', 'mi'],
    ['donnerstag', 'donnerstags', 'do'],
    ['freitag', 'freitags', 'fr'],
    ['samstag', 'samstags', 'sa', 'sonnabend', 'sonnabends'],
    ['sonntag', 'sonntags', 'so'],
  ],
  everyDay: ['jeden tag', 'taglich', 'alle tage'],
  weekdays: ['werktags', 'wochentags'],
  weekend: ['wochenende', 'am wochenende', 'wochenends'],
  holidays: ['feiertag', 'feiertage', 'feiertags', 'an feiertagen'],
  closed: ['geschlossen', 'zu', 'ruhetag', 'nicht geoffnet'],
  to: ['bis'],
  and: ['und', 'u'],
  noon: ['mittag', 'mittags'],
  midnight: ['mitternacht'],
  filler: ['offen', 'geoffnet', 'von', 'ab', 'am', 'um', 'uhr', 'offnungszeiten', 'h'],
};

export const ITALIAN_DOOR: DoorWords = {
  days: [
    ['lunedi', 'lun'],
    ['martedi', 'mar'],
    ['mercoledi', 'mer'],
    ['giovedi', 'gio'],
    ['venerdi', 'ven'],
    ['sabato', 'sab'],
    ['domenica', 'domeniche', 'dom'],
  ],
  everyDay: ['ogni giorno', 'tutti i giorni'],
  weekdays: ['feriali', 'giorni feriali'],
  weekend: ['fine settimana', 'nel fine settimana'],
  holidays: ['festivi', 'festivo', 'giorni festivi', 'feste'],
  closed: ['chiuso', 'chiusi', 'chiusura', 'riposo'],
  to: ['a', 'al', 'alle', 'fino a', 'fino alle'],
  and: ['e'],
  noon: ['mezzogiorno'],
  midnight: ['mezzanotte'],
  filler: ['aperto', 'aperti', 'da', 'dal', 'dalle', 'dalla', 'il', 'la', 'ore', 'orario', 'h'],
};

export const SPANISH_DOOR: DoorWords = {
  days: [
    ['lunes', 'lun', 'l'],
    ['martes', 'mar', 'm'],
    ['miercoles', 'mie', 'x'],
    ['jueves', 'jue', 'j'],
    ['viernes', 'vie', 'v'],
    ['sabado', 'sabados', 'sab', 's'],
    ['domingo', 'domingos', 'dom', 'd'],
  ],
  everyDay: ['todos los dias', 'cada dia', 'diario', 'a diario'],
  weekdays: ['laborables', 'dias laborables'],
  weekend: ['fin de semana', 'fines de semana'],
  holidays: ['festivos', 'festivo', 'dias festivos', 'feriados'],
  closed: ['cerrado', 'cerramos', 'descanso', 'cerrado por descanso'],
  to: ['a', 'al', 'hasta', 'hasta las'],
  and: ['y', 'e'],
  noon: ['mediodia'],
  midnight: ['medianoche'],
  filler: ['abierto', 'abrimos', 'de', 'del', 'desde', 'las', 'los', 'el', 'horas', 'horario', 'h'],
};
