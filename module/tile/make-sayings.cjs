// SPDX-License-Identifier: MIT
// Writes every sentence that the garden says, in English, as a module for the page, from the lists that
// the program itself is built from:  node make-sayings.cjs sayings.h chores.h interlock.h
'use strict';

const fs = require('fs');

const TEXT = '((?:"(?:[^"\\\\]|\\\\.)*"\\s*)+)';
const WORD = '"([a-z -]+)"';
// The first word of a row tells which list it is from.
const LISTS = [
  { row: `X\\(OW_SAY_\\w+,\\s*${WORD},\\s*${TEXT}\\)`, codes: [''] },
  { row: `X\\(OW_CHORE_\\w+,\\s*${WORD},\\s*\\d+,\\s*${TEXT}\\)`, codes: ['chore-'] },
  { row: `X\\(OW_BLOCK_\\w+,\\s*${WORD},\\s*\\w+,\\s*\\w+,\\s*\\d+,\\s*\\d+,\\s*${TEXT},\\s*${TEXT}\\)`,
    codes: ['block-', 'clear-'] },
];

// C's adjacent strings are one; of its escapes these lists use quotes, backslashes and bytes.
function textOf(literals) {
  const inner = literals.replace(/"\s*"/g, '').trim().slice(1, -1);
  const bytes = inner.replace(/\\x([0-9a-f]{2})/g, (_, hex) => String.fromCharCode(parseInt(hex, 16)))
    .replace(/\\(["\\])/g, '$1');
  return Buffer.from(bytes, 'latin1').toString('utf8');
}

const source = process.argv.slice(2)
  .map((file) => fs.readFileSync(file, 'latin1').replace(/\s*\\\n/g, '\n')).join('\n');
const sayings = {};
for (const { row, codes } of LISTS) {
  for (const [, word, ...texts] of source.matchAll(new RegExp(row, 'g'))) {
    codes.forEach((code, i) => { sayings[code + word] = textOf(texts[i]); });
  }
}
for (const code of ['ask', 'chore-shade', 'block-host', 'clear-host']) {
  if (!sayings[code]) {
    throw new Error(`${code} is not among ${Object.keys(sayings).length} sentences: the lists look other than here`);
  }
}
process.stdout.write(`export const sayings = ${JSON.stringify(sayings, null, 1)};\n`);
