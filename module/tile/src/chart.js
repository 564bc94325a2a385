// SPDX-License-Identifier: MIT
// A plant's week behind and the hours ahead: lines of the root ball and of each part with its
// limit, bands where the forecast is uncertain, ice below. Lines differ by their dashes, not by
// colour alone, and all is told in a sentence and as a table as well.

import { h, s } from './dom.js';
import { clock, dayName, degrees, inUnit, kelvins } from './settings.js';
import { locale, t, word } from './texts.js';

const HEIGHT = 196;
const TOP = 14;
const PANE = 112;
const ICE_TOP = TOP + PANE + 14;
const ICE = 30;
const LEFT = 42;
const FAR_BELOW_K = 10;
const GRID_K = 5;

const present = (list) => list.filter((v) => v !== null);
const hours = (course) => Math.max(course.root.length, ...course.parts.map((p) => p.c.length));
const timeAt = (course, i) => new Date(course.from.getTime() + i * course.stepH * 3600000);

function rangeOf(course) {
  const all = present([...course.root, ...course.low, ...course.high,
    ...course.parts.flatMap((p) => [...p.c, ...p.low, ...p.high])]);
  const lowest = Math.min(0, ...all);
  const limits = present(course.parts.flatMap((p) => p.limit)).filter((c) => c > lowest - FAR_BELOW_K);
  const low = Math.min(lowest, ...limits);
  const high = Math.max(0, ...all, ...limits);
  return { low: Math.floor((low - 0.5) / GRID_K) * GRID_K, high: Math.ceil((high + 0.5) / GRID_K) * GRID_K };
}

// Points joined as long as there are numbers.
function pathOf(list, x, y) {
  let path = '';
  let pen = 'M';
  list.forEach((value, i) => {
    if (value === null) {
      pen = 'M';
      return;
    }
    path += `${pen}${x(i).toFixed(1)} ${y(value).toFixed(1)}`;
    pen = 'L';
  });
  return path;
}

function bandOf(kind, low, high, x, y) {
  const at = low.map((_, i) => i).filter((i) => low[i] !== null && high[i] !== null &&
    high[i] !== undefined);
  if (at.length < 2) {
    return null;
  }
  const up = at.map((i) => `${x(i).toFixed(1)} ${y(high[i]).toFixed(1)}`).join('L');
  const back = at.reverse().map((i) => `${x(i).toFixed(1)} ${y(low[i]).toFixed(1)}`).join('L');
  return s('path', { class: `band ${kind}`, d: `M${up}L${back}Z` });
}

function grid(range, y, width) {
  const lines = [];
  for (let c = range.low; c <= range.high; c += GRID_K) {
    lines.push(s('path', { class: c === 0 ? 'zero' : 'grid', d: `M${LEFT} ${y(c)}H${width}` }),
      s('text', { x: LEFT - 4, y: y(c) + 4, class: 'end' },
        Math.round(inUnit(c)).toLocaleString(locale)));
  }
  return lines;
}

// Local midnights, and now.
function times(course, x, n, width) {
  const marks = [];
  let lastLabel = -Infinity;
  for (let i = 0; i < n; i++) {
    const at = timeAt(course, i);
    const hour = at.getHours();
    if (hour >= course.stepH || x(i) > width - 4) {
      continue;
    }
    marks.push(s('path', { class: 'grid', d: `M${x(i).toFixed(1)} ${TOP}V${ICE_TOP + ICE}` }));
    if (x(i) - lastLabel > 52 && x(i) < width - 34) {
      marks.push(s('text', { x: x(i) + 3, y: HEIGHT - 4 }, dayName(at)));
      lastLabel = x(i);
    }
  }
  if (course.now) {
    const i = (course.now - course.from) / (course.stepH * 3600000);
    const right = x(i) > width - 60;
    marks.push(s('path', { class: 'now', d: `M${x(i).toFixed(1)} ${TOP - 4}V${ICE_TOP + ICE}` }),
      s('text', { x: x(i) + (right ? -3 : 3), y: 10, class: right ? 'end strong' : 'strong' },
        t('now')));
  }
  return marks;
}

function iceOf(course, x) {
  const floor = ICE_TOP + ICE;
  const bars = course.ice.map((share, i) => (share === null || share <= 0 ? ''
    : `M${x(i).toFixed(1)} ${floor}V${(floor - Math.min(share, 1) * ICE).toFixed(1)}`)).join('');
  return [s('path', { class: 'grid', d: `M${LEFT} ${ICE_TOP}H${x(hours(course))}M${LEFT} ${floor}H${x(hours(course))}` }),
    s('text', { x: LEFT - 4, y: ICE_TOP + 9, class: 'end' }, '100 %'),
    s('text', { x: LEFT - 4, y: floor, class: 'end' }, '0'),
    s('path', { class: 'icebars', d: bars })];
}

// The least distance of any part to its limit from now on.
function nearest(course) {
  let found = null;
  for (const part of course.parts) {
    part.c.forEach((c, i) => {
      const limit = part.limit[i];
      const ahead = !course.now || timeAt(course, i + 1) > course.now;
      if (ahead && c !== null && typeof limit === 'number' && (!found || c - limit < found.k)) {
        found = { k: c - limit, part: part.name, at: timeAt(course, i), low: part.low[i] };
      }
    });
  }
  return found;
}

export function sentenceOf(course) {
  const found = nearest(course);
  if (!found) {
    return '';
  }
  const part = word('parts', found.part);
  const doubt = typeof found.low === 'number' && course.band
    ? ` ${t('doubt', course.band[0], degrees(found.low))}` : '';
  return t(found.k < 0 ? 'passes' : 'nearest', part, kelvins(Math.abs(found.k)), clock(found.at)) + doubt;
}

function legend(course) {
  const swatch = (kind, k) => s('svg', { viewBox: '0 0 26 10', class: 'swatch', 'aria-hidden': 'true' },
    s('path', { class: `${kind} p${k}`, d: 'M1 5H25' }));
  return h('ul', { class: 'legend' },
    h('li', null, swatch('root', 9), t('rootBall')),
    course.parts.map((part, k) => [h('li', null, swatch('part', k), word('parts', part.name)),
      h('li', null, swatch('limit', k), `${t('limit')} (${word('parts', part.name)})`)]),
    h('li', null, swatch('icebars', 9), t('ice')),
    !course.band ? null
      : h('li', null, s('svg', { viewBox: '0 0 26 10', class: 'swatch', 'aria-hidden': 'true' },
        s('path', { class: 'band root', d: 'M1 1H25V9H1Z' })), t('uncertain', course.band[1] - course.band[0])));
}

const least = (list) => (present(list).length ? Math.min(...present(list)) : null);
const most = (list) => (present(list).length ? Math.max(...present(list)) : null);
const orDash = (value, how) => (value === null ? '–' : how(value));

function table(course, key) {
  const days = new Map();
  for (let i = 0; i < hours(course); i++) {
    const day = timeAt(course, i).toDateString();
    days.set(day, [...(days.get(day) || []), i]);
  }
  const of = (list, at) => at.map((i) => (list[i] === undefined ? null : list[i]));
  const rows = [...days.values()].map((at) => h('tr', null,
    h('th', { scope: 'row' }, dayName(timeAt(course, at[0]))),
    h('td', null, orDash(least(of(course.root, at)), degrees)),
    h('td', null, orDash(most(of(course.ice, at)), (v) => `${Math.round(v * 100)} %`)),
    course.parts.map((part) => [h('td', null, orDash(least(of(part.c, at)), degrees)),
      course.band ? h('td', null, orDash(least(of(part.low, at)), degrees)) : null,
      h('td', null, orDash(most(of(part.limit, at)), degrees))])));
  return h('details', { 'data-key': `table ${key}` },
    h('summary', { 'data-key': `summary ${key}` }, t('table')),
    h('div', { class: 'scroll', tabindex: '0', role: 'group', 'aria-label': t('table') },
      h('table', null,
        h('thead', null, h('tr', null, h('th', { scope: 'col' }, t('day')),
          h('th', { scope: 'col' }, `${t('rootBall')}, ${t('lowest')}`),
          h('th', { scope: 'col' }, `${t('ice')}, ${t('most')}`),
          course.parts.map((part) => [
            h('th', { scope: 'col' }, `${word('parts', part.name)}, ${t('lowest')}`),
            course.band ? h('th', { scope: 'col' },
              `${word('parts', part.name)}, ${t('colderIn', course.band[0])}`) : null,
            h('th', { scope: 'col' }, `${t('limit')} (${word('parts', part.name)})`)]))),
        h('tbody', null, rows))));
}

export function chartOf(course, key, narrow) {
  const width = narrow ? 300 : 620;
  const n = hours(course);
  const range = rangeOf(course);
  const x = (i) => LEFT + ((width - LEFT) * i) / n;
  const y = (c) => TOP + (PANE * (range.high - c)) / (range.high - range.low);
  const near = (nearest(course) || {}).part; // with the bands of all of them nothing could be seen
  const drawing = s('svg', { viewBox: `0 0 ${width} ${HEIGHT}`, class: 'chart', role: 'img',
    'aria-label': t('chart', sentenceOf(course)) },
  grid(range, y, width), times(course, x, n, width), iceOf(course, x),
  bandOf('root', course.low, course.high, x, y),
  course.parts.map((part, k) => (part.name === near ? bandOf(`p${k}`, part.low, part.high, x, y) : null)),
  course.parts.map((part, k) => [
    s('path', { class: `limit p${k}`, d: pathOf(part.limit.map((c) => (c !== null && c >= range.low ? c : null)), x, y) }),
    s('path', { class: `part p${k}`, d: pathOf(part.c, x, y) })]),
  s('path', { class: 'root', d: pathOf(course.root, x, y) }));
  return [drawing, legend(course), table(course, key)];
}
