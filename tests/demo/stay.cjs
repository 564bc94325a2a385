// SPDX-License-Identifier: MIT
// Looks at the page of the demonstration that stays: exit 0 when it shows the plants of a garden that is
// minded. Run by test_live_stay.sh.
'use strict';

const { launch, sleep } = require('../page/browser.cjs');

async function until(what, holds) {
  for (let turns = 0; turns < 200; turns++) {
    if (await holds()) {
      return;
    }
    await sleep(100);
  }
  throw new Error(`in 20 s it did not come that ${what}`);
}

async function main() {
  const browser = await launch();
  try {
    const page = await browser.newPage({ locale: 'en-GB' });
    page.setDefaultTimeout(20000);
    const answer = await page.goto(process.env.OW_PAGE);
    if (!answer.ok()) {
      throw new Error(`the page answers ${answer.status()}`);
    }
    await page.locator('li.plant svg.chart').nth(9).waitFor(); // a dozen and more, each with its week
    await page.locator('#tile svg.ow-tile').waitFor();
    await until('the garden is minded', async () => await page.locator('#link').innerText() === '' &&
      await page.locator('#outputs button', { hasText: 'Stop all' }).isEnabled());
    const tile = () => page.locator('#tile svg').innerHTML();
    const before = await tile();
    await until('the picture goes on', async () => await tile() !== before);
  } finally {
    await browser.close();
  }
}

main().catch((error) => {
  console.error(error.stack);
  process.exitCode = 1;
});
