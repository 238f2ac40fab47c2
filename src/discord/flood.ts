/** Most messages of one person that are answered within a minute; beyond that there is silence until it calms down. */
const MOST = 30;
const SPAN = 60_000;
const MOST_PEOPLE = 5000;

/** Tells for each message whether it is still taken. Nothing is kept of anybody for longer than the minute. */
export const createFloodGate = (elapsed: () => number = () => performance.now()): ((person: string) => boolean) => {
  const lately = new Map<string, number[]>();
  return (person) => {
    const now = elapsed();
    const times = (lately.get(person) ?? []).filter((at) => at > now - SPAN);
    const taken = times.length < MOST;
    if (taken) times.push(now);
    lately.delete(person);
    lately.set(person, times);
    const [longest] = lately.keys();
    if (lately.size > MOST_PEOPLE && longest !== undefined) lately.delete(longest);
    return taken;
  };
};
