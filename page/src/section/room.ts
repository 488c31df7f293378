// How wide a figure may be: pictures are laid out for their place, so that their text keeps its size.
import type { RefObject } from "preact";
import { useLayoutEffect, useState } from "preact/hooks";

/** useRoom gives an element's width in px, in steps of 20 so that a drag of the window does not ask at every pixel. */
export function useRoom(of: RefObject<HTMLElement | null>): number {
  const [room, setRoom] = useState(0);
  useLayoutEffect(() => {
    const box = of.current;
    if (box === null) return;
    const measure = () => setRoom(Math.max(240, Math.floor(box.clientWidth / 20) * 20));
    measure();
    const watch = new ResizeObserver(measure);
    watch.observe(box);
    return () => watch.disconnect();
  }, [of.current]);
  return room;
}
