// SPDX-License-Identifier: MIT
// Waits for the third night and takes the pictures. Run by make-pictures.
'use strict';

const path = require('path');
const { launch, sleep } = require('./browser.cjs');

const NIGHT = /(>|· )Sat 24 Jan 0[4-7]:/; // the picture's own time

async function main() {
  const browser = await launch();
  const page = await browser.newPage({ viewport: { width: 1280, height: 1000 }, locale: 'en-GB',
    timezoneId: 'Europe/Zurich' });
  const take = (name, more) => page.screenshot({ path: path.join(process.env.OW_OUT, `${name}.png`), ...more });
  await page.goto(process.env.OW_PAGE);
  const tile = page.locator('#tile svg');
  await tile.waitFor();
  for (let turns = 0; turns < 1500 && !NIGHT.test(await tile.innerHTML()); turns++) {
    await sleep(200);
  }
  // The garden's time runs on: the page is cut off from it while its pictures are taken.
  await page.context().setOffline(true);
  await take('page');
  await tile.screenshot({ path: path.join(process.env.OW_OUT, 'tile.png') });
  await page.selectOption('#set-theme', 'dark');
  await tile.screenshot({ path: path.join(process.env.OW_OUT, 'tile-dark.png') });
  await page.locator('#plants').scrollIntoViewIfNeeded();
  await page.locator('li.plant', { hasText: 'agave' }).first().screenshot({ path: path.join(process.env.OW_OUT, 'page-plant.png') });
  await page.selectOption('#set-theme', 'auto');
  await page.setViewportSize({ width: 360, height: 740 });
  await page.evaluate(() => window.scrollTo(0, document.querySelector('#tile').offsetTop));
  await take('page-telephone');
  await browser.close();
}

main().catch((error) => {
  console.error(error.stack);
  process.exitCode = 1;
});
