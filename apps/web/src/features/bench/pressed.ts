import type { TouchEvent } from 'react';

/** A finger that has gone further was scrolling. */
const STEADY_PX = 16;

interface Finger {
  readonly on: EventTarget;
  readonly x: number;
  readonly y: number;
}

/** Where the fingers came down that are on the glass now: two hands type a number faster than they lift. */
const fingers = new Map<number, Finger>();

interface Pressed {
  readonly onTouchStart: (event: TouchEvent<HTMLElement>) => void;
  readonly onTouchEnd: (event: TouchEvent<HTMLElement>) => void;
  readonly onClick: () => void;
}

/**
 * Handlers of a target that does its work the moment the finger is lifted. A page hears of a touch as a click only after
 * it has been told all of it again as a mouse: a fifth of the time a slow tablet needs until it says "saved". And a glove
 * that rests a little longer on the glass makes no click at all. Mouse, keyboard and whatever reads the screen aloud press
 * by click, as everywhere.
 */
export function pressed(work: () => void): Pressed {
  return {
    onTouchStart: ({ touches, changedTouches, currentTarget }) => {
      // The first finger of a hand: whatever was cancelled before is over.
      if (touches.length === changedTouches.length) fingers.clear();
      for (const { identifier, clientX, clientY } of Array.from(changedTouches))
        fingers.set(identifier, { on: currentTarget, x: clientX, y: clientY });
    },
    onTouchEnd: (event) => {
      for (const { identifier, clientX, clientY } of Array.from(event.changedTouches)) {
        const finger = fingers.get(identifier);
        fingers.delete(identifier);
        // What cannot be prevented any more has become a scroll or a zoom.
        if (finger?.on !== event.currentTarget || !event.cancelable) continue;
        // It was heard: no mouse and no click come after it, neither here nor on what may stand here next.
        event.preventDefault();
        if (Math.hypot(clientX - finger.x, clientY - finger.y) > STEADY_PX) continue;
        // Where a keyboard goes on from, as after any press; a finger sees where it was and needs no frame around it.
        event.currentTarget.focus({ preventScroll: true, focusVisible: false });
        work();
      }
    },
    onClick: work,
  };
}
