import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { expect } from '@jest/globals';
import type { Page } from 'playwright-core';

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const RULES = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];
/** The smallest thing a gloved or wet finger is asked to hit, CSS pixels. */
const TARGET_PX = 48;

/** What axe-core finds wrong on the page as it stands, one line per rule and element. */
export async function axeFindings(page: Page): Promise<readonly string[]> {
  if (!(await page.evaluate(() => 'axe' in window))) await page.evaluate(AXE);
  return page.evaluate(async (rules) => {
    const { axe } = window as unknown as {
      axe: {
        run(
          options: unknown,
        ): Promise<{ violations: { id: string; nodes: { target: string[]; failureSummary: string }[] }[] }>;
      };
    };
    const { violations } = await axe.run({ runOnly: rules, resultTypes: ['violations'] });
    return violations.flatMap(({ id, nodes }) =>
      nodes.map((node) => `${id}: ${node.target.join(' ')} ${node.failureSummary}`),
    );
  }, RULES);
}

/** How far the page is wider than the window, CSS pixels; 0 when nothing has to be scrolled sideways (WCAG 2.2, 1.4.10). */
export function sidewaysScroll(page: Page): Promise<number> {
  return page.evaluate(() => Math.max(0, document.documentElement.scrollWidth - window.innerWidth));
}

/** Things to press that are smaller than {@link TARGET_PX} either way. A link inside a sentence is none (WCAG 2.2, 2.5.8). */
export function smallTargets(page: Page): Promise<readonly string[]> {
  return page.evaluate((least) => {
    const pressable = [...document.querySelectorAll<HTMLElement>('button, a[href], select, summary, input')];
    return pressable
      .map((element) =>
        element instanceof HTMLInputElement && (element.type === 'checkbox' || element.type === 'radio')
          ? (element.closest('label') ?? element)
          : element,
      )
      .filter((element) => element.checkVisibility() && !element.classList.contains('skip'))
      .map((element) => ({ element, box: element.getBoundingClientRect() }))
      .filter(({ box }) => box.height < least - 0.5 || box.width < least - 0.5)
      .map(
        ({ element, box }) =>
          `${element.tagName} "${element.textContent?.trim()}" ${Math.round(box.width)} x ${Math.round(box.height)}`,
      );
  }, TARGET_PX);
}

/**
 * Walks the page with the Tab key as far as it goes (or `most` steps) and names the stops whose focus cannot be seen:
 * no outline, or covered by something else (WCAG 2.2, 2.4.7 and 2.4.11).
 */
export async function hiddenFocus(page: Page, most = 60): Promise<readonly string[]> {
  const hidden: string[] = [];
  for (let step = 0; step < most; step += 1) {
    await page.keyboard.press('Tab');
    const found = await page.evaluate(() => {
      const element = document.activeElement as HTMLElement | null;
      if (!element || element === document.body) return 'end';
      const box = element.getBoundingClientRect();
      const x = Math.min(Math.max(box.left + box.width / 2, 1), window.innerWidth - 2);
      const y = Math.min(Math.max(box.top + Math.min(box.height / 2, 24), 1), window.innerHeight - 2);
      const top = document.elementFromPoint(x, y);
      const seen = top !== null && (element.contains(top) || top.contains(element));
      const style = getComputedStyle(element);
      const outlined = style.outlineStyle !== 'none' && Number.parseFloat(style.outlineWidth) >= 2;
      return seen && outlined
        ? null
        : `${element.outerHTML.slice(0, 90)} "${element.textContent?.trim().slice(0, 40)}" ${seen ? 'without outline' : 'covered'}`;
    });
    if (found === 'end') break;
    if (found) hidden.push(found);
  }
  return hidden;
}

/** Holds that axe finds nothing, nothing has to be scrolled sideways, and everything to press can be hit. */
export async function expectClean(page: Page): Promise<void> {
  expect(await axeFindings(page)).toEqual([]);
  expect(await sidewaysScroll(page)).toBe(0);
  expect(await smallTargets(page)).toEqual([]);
}
