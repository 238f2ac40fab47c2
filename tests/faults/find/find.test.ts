import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readCatalogue } from '../../../src/faults/catalogue-read.ts';
import { dangerIn } from '../../../src/faults/danger-words.ts';
import { createFinder } from '../../../src/faults/find.ts';
import { readLanguages } from '../../../src/faults/languages.ts';

type Sentence = { readonly text: string; readonly symptom: string; readonly also?: readonly string[]; readonly group?: string | number; readonly danger?: boolean };
const read = <T>(file: string): readonly T[] => JSON.parse(readFileSync(`tests/faults/find/${file}`, 'utf8')) as readonly T[];

const catalogue = readCatalogue('config/faults');
const languages = readLanguages('config/faults/phrases');
const english = languages.get('en')!;
const finder = createFinder(english, catalogue.symptoms.map(({ id }) => id));
const open = [...read<Sentence>('open-sentences.json'), ...read<Sentence>('open-more.json')];
const right = ({ symptom, also = [] }: Sentence): readonly string[] => [symptom, ...also];
const share = (hits: number, all: number): number => hits / all;

/** What begins no questions. */
const PLAIN: readonly string[] = ['none', 'well', 'question'];

describe('a complaint typed at the bar', () => {
  it('is put first in nine of ten, and among three in 98 of 100', () => {
    const ranks = open.map((sentence) => finder.ranked(sentence.text).findIndex(({ symptom }) => right(sentence).includes(symptom)));
    expect(share(ranks.filter((rank) => rank === 0).length, open.length)).toBeGreaterThanOrEqual(0.9);
    expect(share(ranks.filter((rank) => rank >= 0 && rank < 3).length, open.length)).toBeGreaterThanOrEqual(0.98);
  });

  it('is seldom taken for another one without asking: at most 3 in 100', () => {
    const wrong = open.filter((sentence) => {
      const found = finder.find(sentence.text);
      return found.kind === 'sure' && !right(sentence).includes(found.symptom);
    });
    expect(share(wrong.length, open.length)).toBeLessThanOrEqual(0.03);
  });

  it('is not heard where somebody only says that all is well, or thanks', () => {
    const italian = createFinder(languages.get('it')!, catalogue.symptoms.map(({ id }) => id));
    for (const text of ['all good', 'all fine', 'thanks', 'thanks, all good here', 'ok', 'perfect', 'machine is fine', 'all groups good', 'yes all good, group 1 is fine', 'all done, nothing leaking', 'it works again thanks', 'no problems today', 'all goood']) expect([text, finder.find(text).kind]).toEqual([text, 'well']);
    for (const text of ['tutto bene', 'tutto a posto', 'grazie', 'la macchina va bene', 'nessun problema']) expect([text, italian.find(text).kind]).toEqual([text, 'well']);
  });

  it('is heard beside praise, and where praise is denied or asked for', () => {
    for (const text of ['all good but the steam is weak', 'coffee is not good', 'not working', 'steam doesn\'t work', 'machine is running dry', 'everything fine except group 2 drips', 'the machine is cool']) expect([text, finder.find(text).kind]).not.toEqual([text, 'well']);
    expect([...open, ...read<Sentence>('open-italian.json')].filter(({ text }) => finder.find(text).kind === 'well')).toEqual([]);
  });

  it.each([
    ['something ordinary that was done', 'en', 'well', ["the steam tap is closed", "i closed the water tap", "grinder is set finer now", "the pump is new", "we bought a second handle", "i ordered seals yesterday", "the machine is on", "turned the machine off, going home", "group 1 is back in use", "put new beans in the left grinder", "washed the baskets and put them back", "just switched everything off, good night"]],
    ['a plain question', 'en', 'question', ["can i turn it off at night", "who has the key for the boiler room", "how do i set the grinder finer", "when is the filter due", "should we leave the machine on over night?", "is it ok to leave the steam wand in the milk jug?", "which seal do we need to order?"]],
    ['something ordinary that was done', 'it', 'well', ["ho spento la macchina e vado a casa", "ho chiuso il rubinetto dell'acqua", "abbiamo messo caffè nuovo nel macinino", "lavato i filtrini"]],
    ['a plain question', 'it', 'question', ["posso spegnerla di notte?", "quando scade il filtro?", "come si regola il macinino più fine?"]],
  ])('is not heard in plain talk: %s (%s)', (_what, language, kind, texts) => {
    const one = createFinder(languages.get(language)!, catalogue.symptoms.map(({ id }) => id));
    for (const text of texts) expect([text, one.find(text).kind, one.isComplaint(text)]).toEqual([text, kind, false]);
  });

  it('is not heard in a sentence about somebody else', () => {
    for (const text of ["the technician comes at three"]) expect([text, finder.find(text).kind]).toEqual([text, 'none']);
  });

  it('is heard where talk or question tells of trouble', () => {
    const italian = createFinder(languages.get('it')!, catalogue.symptoms.map(({ id }) => id));
    for (const text of ["can i brew when the left group leaks?", "should we call someone, group 2 drips all night", "how do i stop the hissing", "i cleaned the screen and it still leaks", "turned the machine on and it trips the breaker", "the machine is off and wont come on", "how can it be that the coffee is cold", "should the tray be full of water, it spills over"]) expect([text, PLAIN.includes(finder.find(text).kind)]).toEqual([text, false]);
    for (const text of ["posso usare il gruppo 2 se perde?", "ho pulito la doccetta ma gocciola ancora", "ho acceso la macchina e salta il salvavita"]) expect([text, PLAIN.includes(italian.find(text).kind)]).toEqual([text, false]);
    for (const { text } of open) expect([text, PLAIN.includes(finder.find(text).kind)]).toEqual([text, false]);
  });

  it('is no danger where nothing of the danger is said', () => {
    for (const text of ['something wrong with the machine', 'something is off with the coffee machine', "steam doesn't work"]) {
      const found = finder.find(text);
      expect([text, found.kind === 'sure' && catalogue.symptoms.find(({ id }) => id === found.symptom)?.immediate !== undefined]).toEqual([text, false]);
    }
  });

  it('offers two or three when it is not sure', () => {
    const unsure = open.map(({ text }) => finder.find(text)).filter((found) => found.kind === 'unsure');
    expect(unsure.length).toBeGreaterThan(0);
    for (const { nearest } of unsure) expect([2, 3]).toContain(nearest.length);
  });

  it('names the group it is about', () => {
    const missed = open.filter(({ text, group }) => {
      if (group === undefined) return false;
      const found = finder.group(text);
      return !(found?.kind === 'number' ? found.number === group : found?.kind === 'side' && found.side === group);
    });
    expect(missed).toEqual([]);
  });

  it('has phrases for every complaint, and none for complaints that do not exist', () => {
    expect(Object.keys(english.phrases).toSorted()).toEqual(catalogue.symptoms.map(({ id }) => id).toSorted());
  });

  it('points with its side facts only to questions, answers and jobs that exist', () => {
    const questions = new Map(catalogue.questions.map((question) => [question.id, question.answers.map(({ id }) => id)]));
    const jobs = new Set(catalogue.jobs.map(({ id }) => id));
    for (const language of languages.values()) {
      expect(language.says.filter(({ question, answer }) => !questions.get(question)?.includes(answer))).toEqual([]);
      expect(language.tried.filter(({ job }) => !jobs.has(job))).toEqual([]);
      const known = new Set(catalogue.symptoms.map(({ id }) => id));
      expect([...language.signs.map(({ symptom }) => symptom), ...Object.keys(language.needs)].filter((id) => !known.has(id))).toEqual([]);
    }
  });
});

describe('what else a sentence says', () => {
  it.each([
    ['both groups drip at the rim since the new seals', { question: 'other-groups', answer: 'all' }],
    ['group 1 slow, the other is fine', { question: 'other-groups', answer: 'only-this' }],
    ['leaks since the technician was here', { question: 'recent-change', answer: 'visit' }],
    ['handle leaks, slowly getting worse', { question: 'onset', answer: 'slowly' }],
    ['suddenly no steam', { question: 'onset', answer: 'suddenly' }],
    ['shots too fast since the new beans', { question: 'recent-change', answer: 'beans' }],
    ['it is only the first coffee', { question: 'when-worst', answer: 'first' }],
    ['dead after the storm', { question: 'outside-event', answer: 'power' }],
    ['breaker tripped again', { question: 'trip-count', answer: 'again' }],
  ])('%s', (text, answer) => {
    expect(finder.told(text).answers).toContainEqual(answer);
  });

  it('names what was tried already', () => {
    expect(finder.told('still spits, we backflushed with detergent twice').tried).toEqual(['backflush-detergent']);
    expect(finder.told('turned it off and on, display still frozen').tried).toEqual(['restart-once']);
  });

  it('keeps a second complaint told in the same breath', () => {
    const found = finder.find('steam wand drips when it is closed, and the grinder is jammed');
    expect(found).toMatchObject({ kind: 'sure' });
    expect(found.kind === 'sure' ? [found.symptom, ...found.also].toSorted() : []).toEqual(['grinder-trouble', 'wand-drips']);
  });

  it('takes no right for a side that means now, or correct', () => {
    expect(finder.group('it leaks right now')).toBeNull();
    expect(finder.group("that's right, it leaks")).toBeNull();
    expect(finder.group('there is milk left over')).toBeNull();
    expect(finder.group('no one touched it')).toBeNull();
  });
});

describe('a complaint in Italian', () => {
  const italian = languages.get('it')!;
  const finderIt = createFinder(italian, catalogue.symptoms.map(({ id }) => id));
  const sentences = read<Sentence>('open-italian.json');

  it('is put first in nine of ten, and among three in 98 of 100', () => {
    const ranks = sentences.map((sentence) => finderIt.ranked(sentence.text).findIndex(({ symptom }) => right(sentence).includes(symptom)));
    expect(share(ranks.filter((rank) => rank === 0).length, sentences.length)).toBeGreaterThanOrEqual(0.9);
    expect(share(ranks.filter((rank) => rank >= 0 && rank < 3).length, sentences.length)).toBeGreaterThanOrEqual(0.98);
  });

  it('names its group and its danger', () => {
    expect(finderIt.group('il gruppo di sinistra perde')).toEqual({ kind: 'side', side: 'left' });
    expect(finderIt.group('dal gruppo 2 esce poca acqua')).toEqual({ kind: 'number', number: 2 });
    expect(sentences.filter(({ text, danger }) => danger && !dangerIn(text, italian)).map(({ text }) => text)).toEqual([]);
    expect(dangerIn('il caffè sa di bruciato', italian)?.sure ?? false).toBe(false);
    expect(dangerIn("vado a fumare una sigaretta", italian)?.sure ?? false).toBe(false);
  });

  it('leaves bar chat alone', () => {
    for (const text of ['chi apre domani?', 'mi cambi il turno di sabato', 'la porta del bagno non si chiude', 'il frigo fa rumore', 'grazie a tutti', 'la stampante dà errore'])
      expect(finderIt.isComplaint(text), text).toBe(false);
  });
});

describe('bar chat', () => {
  const chat = read<{ readonly text: string; readonly safetyWord?: boolean }>('bar-chat.json');

  it('starts no questions', () => {
    expect(chat.filter(({ text }) => finder.isComplaint(text) || finder.find(text).kind === 'sure').map(({ text }) => text)).toEqual([]);
  });

  it('starts no safety steps, save where a word of danger stands and may be meant', () => {
    expect(chat.filter(({ text, safetyWord }) => !safetyWord && dangerIn(text, english)).map(({ text }) => text)).toEqual([]);
  });
});

describe('words of danger', () => {
  it('are never missed in a sentence that calls for the safety steps', () => {
    expect(open.filter(({ text, danger }) => danger && !dangerIn(text, english)).map(({ text }) => text)).toEqual([]);
  });

  it('are never missed, whoever says them and in whichever of the two languages', () => {
    const said = read<{ readonly text: string; readonly language: 'en' | 'it' }>('open-danger.json');
    expect(said.filter(({ text, language }) => !dangerIn(text, languages.get(language)!)).map(({ text }) => text)).toEqual([]);
  });

  it('are not seen in sentences that stand close to them', () => {
    const near = { en: ['steam pours out of the wand as always', 'i got milk on my apron', 'the pilot light is on', 'sam cooked the pastries, smells nice'], it: ['ho il portafiltro in mano', 'tieni la leva e aspetta', 'la presa del caffè è lenta', 'la pressione del caffè è bassa', 'ho rotto una tazza per terra'] } as const;
    expect(near.en.filter((text) => dangerIn(text, english))).toEqual([]);
    expect(near.it.filter((text) => dangerIn(text, languages.get('it')!))).toEqual([]);
  });

  it('are not seen where nobody is in danger', () => {
    expect(open.filter(({ text, danger }) => !danger && dangerIn(text, english)?.sure).map(({ text }) => text)).toEqual([]);
  });

  it.each([
    ['smells like burning behind the machine', { kind: 'fire', sure: true }],
    ['the machine is on fire', { kind: 'fire', sure: true }],
    ['it is on fire!', { kind: 'fire', sure: true }],
    ['smoke coming out of the back', { kind: 'fire', sure: true }],
    ['no smoke but it smells of burnt plastic', { kind: 'fire', sure: true }],
    ['the plug is hot and brown', { kind: 'fire', sure: true }],
    ['water is running onto the socket', { kind: 'electric', sure: true }],
    ['i got a shock from the wand', { kind: 'electric', sure: true }],
    ['breaker tripped again', { kind: 'electric', sure: true }],
    ['it stinks of gas here', { kind: 'gas', sure: true }],
    ['the flame is yellow', { kind: 'gas', sure: true }],
    ['mia burned her hand', { kind: 'person', sure: true }],
    ['sam got cleaning powder in his eye', { kind: 'chemical', sure: true }],
    ['safety valve is blowing', { kind: 'steam', sure: true }],
    ["can't turn the steam off", { kind: 'steam', sure: true }],
    ['the hose burst', { kind: 'flood', sure: true }],
    ['no smoke', { kind: 'fire', sure: false }],
    ['smoke?', { kind: 'fire', sure: false }],
    ['somthing is burnin', { kind: 'fire', sure: false }],
  ])('%s', (text, expected) => {
    expect(dangerIn(text, english)).toEqual(expected);
  });

  it.each([
    'the coffee tastes burnt',
    'burnt taste in the espresso',
    'going for a smoke',
    'smoking hot deal on beans today',
    'she is on fire today',
    'you are on fire',
    'sam is on fire tonight!',
    'these beans are fire',
    'fire drill on friday',
    'i was shocked by the price',
    'burning question: who has sunday',
    'smoked salmon is out',
    'gas bill came',
    'we were flooded with orders',
  ])('meant otherwise: %s', (text) => {
    expect(dangerIn(text, english)?.sure ?? false).toBe(false);
  });
});
