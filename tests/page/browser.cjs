// SPDX-License-Identifier: MIT
// Headless Chromium for the tests of the page and for its pictures.
'use strict';

const fs = require('fs');
const { chromium } = require('playwright-core');

function executable() {
  const names = ['chromium', 'chromium-browser'];
  for (const folder of (process.env.PATH || '').split(':')) {
    const found = names.map((name) => `${folder}/${name}`).find((path) => fs.existsSync(path));
    if (found) {
      return found;
    }
  }
  throw new Error('no chromium is on the PATH');
}

// The pages are ours and the machine's own: no sandbox, which root cannot have.
exports.launch = () => chromium.launch({ executablePath: executable(), chromiumSandbox: false,
  args: ['--disable-gpu', '--disable-dev-shm-usage'] });

exports.sleep = (ms) => new Promise((done) => setTimeout(done, ms));
