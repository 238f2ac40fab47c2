/** A stream of numbers in [0, 1) that depends on the seed alone (xorshift on 32 bits). */
export const chance = (seed) => {
  let state = (seed * 2654435761 + 88172645) >>> 0 || 1;
  const next = () => {
    state ^= state << 13;
    state >>>= 0;
    state ^= state >>> 17;
    state ^= state << 5;
    state >>>= 0;
    return state / 4294967296;
  };
  for (let i = 0; i < 8; i++) next();
  return { next, below: (n) => Math.floor(next() * n), oneOf: (list) => list[Math.floor(next() * list.length)] };
};
