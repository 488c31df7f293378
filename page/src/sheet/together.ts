// Asking for what may change while it is asked for.

/** together calls what it is given one at a time: calls that come while one is under way are answered by one more after it. What
 * gives true is called once more. */
export function together(what: () => Promise<boolean | void>): () => Promise<void> {
  let under = false;
  let stale = false;
  return async () => {
    if (under) {
      stale = true;
      return;
    }
    under = true;
    do {
      stale = false;
      if ((await what()) === true) stale = true;
    } while (stale);
    under = false;
  };
}
