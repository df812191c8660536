// Edits that each need the answer to the one before: one is under way at a time, and none is lost.

export class Turns {
  #waiting = new Map();
  busy = false;

  // What is done while an answer is under way is done after it, on what came back. Of edits with the same key only the
  // last is done, where it was given; after one that could not be sent the rest is given up.
  async take(edit, key = Symbol()) {
    this.#waiting.delete(key);
    this.#waiting.set(key, edit);
    if (this.busy) return;
    this.busy = true;
    try {
      // Those that come meanwhile come at the end, and so are met too.
      for (const [next, each] of this.#waiting) {
        this.#waiting.delete(next);
        await each();
      }
    } catch (fault) {
      this.#waiting.clear();
      // That the server is silent comes without words, and the page has said it; anything else is a fault of ours.
      if (fault) throw fault;
    } finally {
      this.busy = false;
    }
  }
}
