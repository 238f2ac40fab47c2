declare module 'snowball-stemmers' {
  export type Stemmer = { readonly stem: (word: string) => string };
  export const newStemmer: (algorithm: string) => Stemmer;
}
