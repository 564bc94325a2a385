// SPDX-License-Identifier: MIT
// Sentences of the garden from their codes, in the reader's language and units. A code that is not
// known, or is none, gives null: then the garden's own English stands.

import { isObject, timeOf } from './garden.js';
import { clock, day, degrees, kelvins, wholeDegrees } from './settings.js';
import { englishSayings, listed, locale, sayingOf, word } from './texts.js';

const DEEPEST = 4;
const MOST = 40;

// Words of these lists stand in the catalogue.
const LISTS = { part: 'parts', short: 'shortParts', state: 'states', command: 'commands', kind: 'kinds',
  thing: 'things' };

const number = (value) => (typeof value === 'number' && Number.isFinite(value) ? value : null);
const counted = (value) => value.toLocaleString(locale, { maximumFractionDigits: 1 });
const moment = (value, how) => (timeOf(value) ? how(timeOf(value)) : null);
const first = (text) => text.charAt(0).toLocaleUpperCase(locale) + text.slice(1);
const signed = (k) => `${k < 0 ? '−' : '+'}${kelvins(Math.abs(k))}`;

const FILLS = {
  c: (v) => (number(v) === null ? null : degrees(v)),
  whole_c: (v) => (number(v) === null ? null : wholeDegrees(v)),
  k: (v) => (number(v) === null ? null : kelvins(v)),
  signed_k: (v) => (number(v) === null ? null : signed(v)),
  n: (v) => (number(v) === null ? null : counted(v)),
  at: (v) => moment(v, clock),
  day: (v) => moment(v, day),
  names: (v) => (Array.isArray(v) && v.every((name) => typeof name === 'string') ? listed(v) : null),
};

// { text, many } of what fills a blank, and whether it is a name, which stays as it is written; null: not
// of a form that is known.
function fill(blank, depth) {
  if (typeof blank === 'string') {
    return { text: blank, name: true };
  }
  if (!isObject(blank)) {
    return null;
  }
  const [[key, value] = []] = Object.entries(blank);
  if (key === 'say') {
    const parts = sentences(value, depth + 1);
    return parts && { text: listed(parts) };
  }
  if (Object.hasOwn(LISTS, key)) {
    const known = typeof value === 'string' ? word(LISTS[key], value) : null;
    return known && { text: known, many: ['foliage', 'buds', 'roots'].includes(value) };
  }
  const text = Object.hasOwn(FILLS, key) ? FILLS[key](value) : null;
  return text === null ? null : { text, many: value !== 1 };
}

function sentence(said, depth) {
  const [code, ...blanks] = Array.isArray(said) ? said : [];
  const pattern = typeof code === 'string' ? sayingOf(code) : null;
  const filled = blanks.slice(0, 8).map((blank) => fill(blank, depth));
  if (pattern === null || filled.includes(null)) {
    return null;
  }
  let whole = true;
  const text = pattern.replace(/\{(\d)(?::([^|}]*)\|([^}]*))?\}/g, (_, i, many, one) => {
    whole = whole && filled[i] !== undefined;
    return !whole ? '' : many === undefined ? filled[i].text : filled[i].many ? many : one;
  });
  const named = pattern.startsWith('{') && filled[pattern[1]] && filled[pattern[1]].name;
  return !whole ? null : depth > 0 || named ? text : first(text);
}

// Each sentence of a list of codes; null where one of them cannot be said.
function sentences(codes, depth = 0) {
  if (!Array.isArray(codes) || codes.length > MOST || depth > DEEPEST) {
    return null;
  }
  const all = codes.map((said) => sentence(said, depth));
  return all.includes(null) ? null : all;
}

// All that is said, one sentence after the other; null: say the English.
export function speech(codes) {
  const all = sentences(codes);
  return all && all.length > 0
    ? all.reduce((said, next) => `${said}${/[.!?]$/.test(said) ? '' : '.'} ${next}`) : null;
}

// The same as a phrase within a sentence, such as what is asked.
export function phrase(codes) {
  const all = sentences(codes, 1);
  return all && all.length > 0 ? listed(all) : null;
}

// What was said and is kept as English alone: found among the sentences, with what filled its blanks.
const patterns = Object.entries(englishSayings).map(([code, text]) => {
  const parts = text.split(/\{\d\}/).map((part) => part.replace(/[.*+?^${}()|[\]\\]/g, '\\$&'));
  return { code, blanks: [...text.matchAll(/\{(\d)\}/g)].map((m) => Number(m[1])),
    plain: !text.includes('|'), fits: new RegExp(`^${parts.join('(.+?)')}$`) };
}).filter(({ plain }) => plain);

export function again(english) {
  for (const { code, blanks, fits } of patterns) {
    const found = english.match(fits);
    if (found && english.length > 12 && !/^\{\d\}/.test(englishSayings[code])) {
      const filled = [];
      blanks.forEach((at, i) => { filled[at] = found[i + 1]; });
      return sentence([code, ...filled], 1);
    }
  }
  return null;
}
