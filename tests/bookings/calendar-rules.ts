/**
 * Rules of RFC 5545 and RFC 5546 that a calendar file for one visit must keep, read from the specifications and
 * written without any iCalendar library. Line rules: RFC 5545, 3.1. Components: 3.6, 3.6.1, 3.6.6. Methods: RFC 5546,
 * tables of 3.2.2 (REQUEST) and 3.2.5 (CANCEL; from memory).
 */
type Line = { readonly name: string; readonly params: string; readonly value: string };

export const violations = (file: string): readonly string[] => {
  const physical = file.split('\r\n');
  const lines = file.replace(/\r\n[ \t]/g, '').replace(/\r\n$/, '').split('\r\n').map(read);
  return [
    ...lineRules(file, physical),
    ...lines.filter((line) => line === null).map(() => 'a line is no property'),
    ...componentRules(lines.filter((line): line is Line => line !== null)),
  ];
};

const lineRules = (file: string, physical: readonly string[]): readonly string[] => [
  ...(file.replaceAll('\r\n', '').match(/[\r\n]/) ? ['a line break that is not CR LF'] : []),
  ...(file.replaceAll('\r\n', '').match(/(?!\t)\p{Cc}/u) ? ['a control character'] : []),
  ...(file.endsWith('END:VCALENDAR\r\n') ? [] : ['an unfinished last line']),
  ...physical.filter((line) => Buffer.byteLength(line) > 75).map((line) => `a line of ${Buffer.byteLength(line)} octets`),
  // Cut inside a character, the two halves of a surrogate pair would stand on two lines.
  ...physical.filter((line) => /[\ud800-\udfff]/u.test(line)).map(() => 'a character cut by folding'),
];

/** contentline = name *(";" param ) ":" value; a colon between quotes does not end the parameters. */
const read = (line: string): Line | null => {
  const match = /^([A-Za-z0-9-]+)((?:;[A-Za-z0-9-]+=(?:"[^"]*"|[^";:,]*)(?:,(?:"[^"]*"|[^";:,]*))*)*):(.*)$/su.exec(line);
  return match === null ? null : { name: (match[1] ?? '').toUpperCase(), params: match[2] ?? '', value: match[3] ?? '' };
};

const componentRules = (lines: readonly Line[]): readonly string[] => {
  const inside = (component: string): readonly Line[] => {
    const begin = lines.findIndex((line) => line.name === 'BEGIN' && line.value === component);
    const end = lines.findIndex((line) => line.name === 'END' && line.value === component);
    return begin < 0 || end < begin ? [] : lines.slice(begin + 1, end);
  };
  const event = withoutNested(inside('VEVENT'));
  const calendar = withoutNested(inside('VCALENDAR'));
  const method = calendar.find((line) => line.name === 'METHOD')?.value;
  return [
    ...exactly(calendar, 'VCALENDAR', ['PRODID', 'VERSION', 'METHOD'], 1, 1),
    ...(calendar.find((line) => line.name === 'VERSION')?.value === '2.0' ? [] : ['VERSION is not 2.0']),
    ...exactly(event, 'VEVENT', ['UID', 'DTSTAMP', 'DTSTART', 'SEQUENCE', 'ORGANIZER', 'SUMMARY'], 1, 1),
    ...exactly(event, 'VEVENT', ['DTEND', 'DURATION', 'DESCRIPTION', 'LOCATION', 'GEO', 'STATUS'], 0, 1),
    ...exactly(event, 'VEVENT', ['REQUEST-STATUS'], 0, 0),
    ...(event.some((line) => line.name === 'DTEND') && event.some((line) => line.name === 'DURATION') ? ['DTEND beside DURATION'] : []),
    ...(event.some((line) => line.name === 'ATTENDEE') ? [] : ['no ATTENDEE']),
    ...event.filter((line) => /^DTSTAMP|^DTSTART|^DTEND/.test(line.name)).flatMap(utc),
    ...event.filter((line) => line.name === 'ORGANIZER' || line.name === 'ATTENDEE').flatMap((line) => (/^mailto:[^\s@]+@[^\s@]+$/i.test(line.value) ? [] : [`${line.name} is no address`])),
    ...statusRules(method, event.find((line) => line.name === 'STATUS')?.value, inside('VALARM')),
  ];
};

const withoutNested = (lines: readonly Line[]): readonly Line[] => {
  let depth = 0;
  return lines.filter((line) => {
    if (line.name === 'BEGIN') depth += 1;
    const own = depth === 0;
    if (line.name === 'END') depth -= 1;
    return own;
  });
};

const exactly = (lines: readonly Line[], where: string, names: readonly string[], least: number, most: number): readonly string[] =>
  names.flatMap((name) => {
    const count = lines.filter((line) => line.name === name).length;
    return count < least || count > most ? [`${name} ${count} times in ${where}`] : [];
  });

const utc = (line: Line): readonly string[] => (line.params === '' && /^\d{8}T\d{6}Z$/.test(line.value) ? [] : [`${line.name} is not in UTC`]);

const statusRules = (method: string | undefined, status: string | undefined, alarm: readonly Line[]): readonly string[] => {
  if (method === 'CANCEL') return [...(status === 'CANCELLED' ? [] : ['CANCEL without STATUS:CANCELLED']), ...(alarm.length === 0 ? [] : ['an alarm for a cancelled visit'])];
  if (method !== 'REQUEST') return [`METHOD is ${method}`];
  const alarmRules = alarm.length === 0 ? [] : exactly(alarm, 'VALARM', ['ACTION', 'TRIGGER', 'DESCRIPTION'], 1, 1);
  return [...(status === 'CONFIRMED' || status === 'TENTATIVE' ? [] : ['REQUEST with another STATUS']), ...alarmRules];
};
