import type { Picture } from '../chat/message.ts';
import type { Say } from '../words/catalogue.ts';
import { handlesPicture } from './look-views.ts';

export const sealUp = (say: Say): Picture => ({ name: 'seal-which-way-up.png', alt: say('drawing.seal.alt'), draw: async () => (await import('./drawings.ts')).sealUpPicture(say) });
export const screens = (say: Say): Picture => ({ name: 'three-screens.png', alt: say('drawing.screen.alt'), draw: async () => (await import('./drawings.ts')).screensPicture(say) });

/** Pictures of the seals' own that help with a question about a fault, by the question's id. */
const PICTURES: Readonly<Record<string, (say: Say) => Picture>> = { 'handle-position': handlesPicture, 'ring-look': sealUp, 'screen-loose': screens };

export const questionPicture = (question: string, say: Say): Picture | undefined => PICTURES[question]?.(say);
