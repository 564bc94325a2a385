// SPDX-License-Identifier: MIT
// Waits for the third night and takes the pictures. Run by make-pictures.
'use strict';

const path = require('path');
const { launch, sleep } = require('./browser.cjs');

const NIGHT = /(>|· )Sat 24 Jan, 0[4-7]:/; // the picture's own time

async function takeAll(browser) {
  const page = await browser.newPage({ viewport: { width: 1280, height: 1000 }, locale: 'en-GB',
    timezoneId: 'Europe/Zurich' });
  const take = (name, more) => page.screenshot({ path: path.join(process.env.OW_OUT, `${name}.png`), ...more });
  await page.goto(process.env.OW_PAGE);
  const tile = page.locator('#tile svg');
  await tile.waitFor();
  for (let turns = 0; turns < 1500 && !NIGHT.test(await tile.innerHTML()); turns++) {
    await sleep(200);
  }
  // The garden's time runs on: it is halted while the pictures are taken, for less time than the broker
  // takes to miss it.
  const halt = (signal) => [process.env.OW_RUN_PID, process.env.OW_SIM_PID].forEach((pid) =>
    process.kill(Number(pid), signal));
  halt('SIGSTOP');
  await sleep(1000); // what was said before is drawn
  await take('page');
  await tile.screenshot({ path: path.join(process.env.OW_OUT, 'tile.png') });
  await page.selectOption('#set-theme', 'dark');
  await tile.screenshot({ path: path.join(process.env.OW_OUT, 'tile-dark.png') });
  const box = await page.locator('li.plant', { hasText: 'agave' }).first().boundingBox();
  const scrolled = await page.evaluate(() => window.scrollY);
  await take('page-plant', { fullPage: true, clip: { x: box.x - 14, y: box.y + scrolled - 8,
    width: box.width + 28, height: box.height + 8 } });
  await page.selectOption('#set-theme', 'auto');
  await page.setViewportSize({ width: 360, height: 740 });
  await page.evaluate(() => window.scrollTo(0, document.querySelector('#tile').offsetTop));
  await take('page-telephone');
  halt('SIGCONT');
}

async function main() {
  const browser = await launch();
  await takeAll(browser).finally(() => browser.close());
}

main().catch((error) => {
  console.error(error.stack);
  process.exitCode = 1;
});
