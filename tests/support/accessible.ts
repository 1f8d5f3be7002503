import AxeBuilder from '@axe-core/playwright';
import type { Page } from 'playwright-core';

/** What of WCAG 2.2 AA the page breaks, as axe-core finds it; empty when nothing. */
export async function accessibilityProblems(page: Page): Promise<string[]> {
  const { violations } = await new AxeBuilder({ page }).withTags(['wcag2a', 'wcag2aa', 'wcag21aa', 'wcag22aa']).analyze();
  return violations.map(({ id, nodes }) => `${id}: ${nodes[0]?.html}`);
}
