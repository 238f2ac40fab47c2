/** One screen that says how the practice chat works. */
export const HELP: readonly string[] = [
  '',
  'You are at Café Lantern Street, invented for practice.',
  '  Write anything, as in a chat:   done',
  '                                  the left group drips, do we need someone?',
  '  Press a button:                 its number, 2. An older message: b2',
  '  Several from a list:            1,3',
  '  Answer a message:               reply b: all done except 3',
  '  Speak as somebody else:         as ola (owner), as sam or mia (bar), as ana (technician)',
  '  Write privately or in a room:   in direct, in bar',
  '  Set up a café of your own:      as ola, in harbour, /cafe',
  '  Let time pass:                  jump 30m, jump 22:00, jump tomorrow 7:30',
  '  Commands:                       /today /cafe /problem /danger /help',
  '  Send a photo:                   photo path/to/picture.jpg',
  '  Leave:                          quit. Everything is kept; start again to go on.',
];
