// How wide a figure may be: pictures are laid out for their place, so that their text keeps its size.
import { useLayoutEffect, useState } from "preact/hooks";

/**
 * useRoom gives the ref of an element, its width in px, 0 until it stands in the page, and the element. Steps keep a drag of the
 * window from asking for another picture at every pixel; least is a width below which nothing is laid out.
 */
export function useRoom<E extends HTMLElement>(step = 1, least = 0): [at: (e: E | null) => void, room: number, box: E | null] {
  const [box, at] = useState<E | null>(null);
  const [room, setRoom] = useState(0);
  useLayoutEffect(() => {
    if (box === null) return;
    const measure = () => {
      if (box.clientWidth > 0) setRoom(Math.max(least, Math.floor(box.clientWidth / step) * step));
    };
    measure();
    const watch = new ResizeObserver(measure);
    watch.observe(box);
    return () => watch.disconnect();
  }, [box]);
  return [at, room, box];
}
