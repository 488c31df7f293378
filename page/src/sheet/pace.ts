// How often the page shows what is still being computed: so seldom that showing it leaves the machine to the computing.
import { quiet } from "./ask";

/** of the time, showing takes about one part in so many */
const parts = 10;
/** ms between two, at the least and at the most */
const least = 150;
const most = 5000;

/** frame waits until what was changed stands on the screen; a page that nobody sees draws nothing. */
const frame = () =>
  new Promise<void>((done) => {
    const late = setTimeout(done, 500);
    requestAnimationFrame(() => {
      clearTimeout(late);
      setTimeout(done); // the frame is drawn before this is called
    });
  });

const after = (ms: number) => new Promise<void>((done) => setTimeout(done, ms));

/** Paced shows values: some at once, others when the last one was shown long enough ago, and of these only the newest. */
export class Paced<T> {
  private waits: { value: T } | null = null;
  private busy = false;
  private timer = 0;
  private next = 0;

  constructor(private readonly show: (value: T) => void) {}

  now(value: T): void {
    this.waits = null;
    clearTimeout(this.timer);
    void this.shown(value);
  }

  later(value: T): void {
    this.waits = { value };
    if (!this.busy) this.wait();
  }

  private wait(): void {
    clearTimeout(this.timer);
    this.timer = window.setTimeout(() => {
      const w = this.waits;
      this.waits = null;
      if (w !== null) void this.shown(w.value);
    }, Math.max(0, this.next - performance.now()));
  }

  /** shown shows a value, and sees how long it takes until all that was asked for with it is there and drawn. */
  private async shown(value: T): Promise<void> {
    const began = performance.now();
    this.show(value);
    if (this.busy) return;
    this.busy = true;
    for (let i = 0; i < 2; i++) {
      await Promise.race([quiet(), after(1000)]); // pictures are asked for once the page is laid out
      await frame();
    }
    const ended = performance.now();
    this.next = ended + Math.min(most, Math.max(least, parts * (ended - began)));
    this.busy = false;
    if (this.waits !== null) this.wait();
  }
}
