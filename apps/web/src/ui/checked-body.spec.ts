import { newContainerSizeSchema } from '@jarfold/contracts';
import { describe, expect, it } from '@jest/globals';
import { shared } from '../messages/shared.js';
import { speak } from '../messages/translate.js';
import { checkedBody } from './checked-body.js';

speak(shared);

const ID = '0b0b0b0b-0b0b-4b0b-8b0b-0b0b0b0b0b0b';

/** What is told at a box when it holds this. */
function told(pointer: string, change: object): string | undefined {
  const checked = checkedBody(newContainerSizeSchema, { id: ID, volumeMl: 1000, ...change });
  return checked.ok ? undefined : checked.errors.get(pointer);
}

describe('a mistake in a box', () => {
  it.each([
    ['an empty number', '/volumeMl', { volumeMl: Number.NaN }, 'Write a number.'],
    ['half a jar', '/cleanEmpty', { cleanEmpty: 2.5 }, 'Write a whole number.'],
    ['nothing where something takes room', '/shelfPlaces', { shelfPlaces: 0 }, 'This number is too low.'],
    ['far too much', '/ripeGrams', { ripeGrams: 1e9 }, 'This number is too high.'],
    ['something that is not on the list', '/carrier', { carrier: 'water' }, 'Choose one of the list.'],
    ['what the contract has its own words for', '/volumeMl', { volumeMl: 3 }, 'At least 20 ml.'],
  ])('is told plainly: %s', (_, pointer, change, words) => {
    expect(told(pointer, change)).toBe(words);
  });

  it('is not found where there is none', () => {
    expect(told('/volumeMl', {})).toBeUndefined();
  });
});
