import type { Jar } from '@jarfold/contracts';
import { t } from '../messages/translate.js';

/** Where a jar stands, from the door inwards: room, shelf, row and place. */
export function placeWords(place: Jar['place']): string {
  if (!place) return t('place.unknown');
  if (place.shelfName === null) return t('place.room', { room: place.roomName });
  if (place.row === null || place.place === null)
    return t('place.shelf', { room: place.roomName, shelf: place.shelfName });
  return t('place.exact', { room: place.roomName, shelf: place.shelfName, row: place.row, place: place.place });
}
