import type { Page } from 'playwright-core';

/** The declared device: a 10-inch tablet of 1280 x 800 CSS pixels on 217 x 136 mm. */
const PX_PER_MM = 1280 / 217;
const TARGET_MM = 20;
const LEAST_TYPE_PX = 18;

/** Things to press smaller than 20 mm either way on the declared device. */
export function smallOnes(of: Page): Promise<readonly string[]> {
  return of.evaluate((leastPx) => {
    const roots = [...document.querySelectorAll('dialog[open]')];
    const root = roots.at(-1) ?? document;
    return [...root.querySelectorAll<HTMLElement>('button, a[href], input, select, textarea, summary')]
      .filter((element) => element.checkVisibility())
      .map((element) => ({ element, box: element.getBoundingClientRect() }))
      .filter(({ box }) => box.width < leastPx - 0.5 || box.height < leastPx - 0.5)
      .map(({ element, box }) => `${element.textContent?.trim()} ${Math.round(box.width)} x ${Math.round(box.height)}`);
  }, TARGET_MM * PX_PER_MM);
}

/** Words set smaller than 18 px. */
export function smallType(of: Page): Promise<readonly string[]> {
  return of.evaluate((least) => {
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    const small = new Set<string>();
    for (let node = walker.nextNode(); node; node = walker.nextNode()) {
      const parent = node.parentElement;
      if (!parent?.checkVisibility() || node.textContent?.trim() === '') continue;
      const px = Number.parseFloat(getComputedStyle(parent).fontSize);
      if (px < least) small.add(`${px} px: ${node.textContent?.trim().slice(0, 40)}`);
    }
    return [...small];
  }, LEAST_TYPE_PX);
}
