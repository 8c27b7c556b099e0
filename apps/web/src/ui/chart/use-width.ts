import { type RefObject, useLayoutEffect, useRef, useState } from 'react';

/** The width an element has, CSS pixels, so that a drawing keeps its type at reading size on every screen. */
export function useWidth(): readonly [RefObject<HTMLDivElement | null>, number] {
  const box = useRef<HTMLDivElement>(null);
  const [width, setWidth] = useState(0);
  useLayoutEffect(() => {
    const element = box.current;
    if (!element) return;
    const measure = () => setWidth(element.clientWidth);
    const observer = new ResizeObserver(measure);
    observer.observe(element);
    measure();
    return () => observer.disconnect();
  }, []);
  return [box, width];
}
