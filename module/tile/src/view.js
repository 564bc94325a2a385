// SPDX-License-Identifier: MIT
// The sections of the page, each from the garden as it is known now.

import { chartOf, sentenceOf } from './chart.js';
import { h } from './dom.js';
import { pictureOf } from './picture.js';
import { phrase, speech } from './say.js';
import { THEMES, UNITS, clock, degrees, sentence, settings } from './settings.js';
import { catalogue, locale, sayingOf, t, word } from './texts.js';
import { timeOf } from './garden.js';

const SEEN = ['alive', 'regrowing', 'dead'];
const NOTICES_SHOWN = 2; // the picture is to be seen below them
const framed = window.top !== window.self;

// What the garden says: by its codes, or where there are none in its own English words.
function said(name, codes, english, attributes, how = speech) {
  const text = how(codes);
  return text === null ? h(name, { lang: 'en', dir: 'auto', ...attributes }, sentence(english))
    : h(name, attributes, text);
}

// What keeps an output off: words, each beside its English.
export function blockItems(garden, id) {
  const words = garden.list(id, 'blocked-code');
  return garden.list(id, 'blocked-by').map((english, i) => {
    const text = sayingOf(`block-${words[i]}`);
    return text === null ? h('li', { lang: 'en' }, english) : h('li', null, text);
  });
}

const heading = (id, text) => h('h2', { id: `${id}-h` }, text);

function button(key, text, says, act, enabled, kind) {
  return h('button', { type: 'button', class: kind || 'act', 'data-key': key, 'aria-label': says,
    disabled: !enabled, onclick: act }, text);
}

function stateWord(state) {
  const urgent = ['no reading', 'thaw needed', 'carry in', 'cover soon'].includes(state);
  return h('strong', { class: urgent ? 'state urgent' : 'state' }, word('states', state || 'no reading'));
}

// A plant's own alert is its job's reason, and what has a notice is told there.
function bareAlerts(garden) {
  const told = garden.notices().flatMap(({ id, subject }) => [id, subject]);
  return [...garden.alerts].filter(([id]) => !garden.plants().includes(id) && !told.includes(id) &&
    !told.includes(`garden-${id}`));
}

function alertText(id, english) {
  const text = word('alertTexts', id);
  return text === id ? h('span', { lang: 'en' }, sentence(english)) : h('span', null, text);
}

export function head(garden) {
  const alerts = bareAlerts(garden);
  return [
    h('h1', null, garden.id, ' ', stateWord(garden.text('garden', 'state'))),
    said('p', garden.code('garden', 'tonight-code'), garden.text('garden', 'tonight'), { class: 'tonight' }),
    alerts.length === 0 ? null : h('div', { class: 'alerts' },
      h('h2', null, t('alerts')),
      h('ul', null, alerts.map(([id, text]) =>
        h('li', null, h('b', null, garden.name(id)), ' ', alertText(id, text))))),
  ];
}

/* ---- notices ---- */

export const noticeText = (notice) => speech(notice.code) || sentence(notice.text);

function noticeItem(garden, notice, act) {
  const by = notice.noticedBy ? garden.name(`household-${notice.noticedBy}`) : '';
  const kind = `notice${notice.urgent ? ' pressing' : ''}${by ? ' faint' : ''}`;
  const since = notice.raised ? t('toldAt', clock(notice.raised)) : '';
  return h('li', { class: kind },
    h('p', null,
      notice.urgent ? [h('strong', { class: 'state urgent' }, t('urgentNow')), ' '] : null,
      said('span', notice.code, notice.text)),
    h('div', { class: 'due' }, [since, by ? t('noticedBy', by) : ''].filter(Boolean).join(' · ')),
    by ? null : button(`noticed ${notice.id}`, t('noticed'),
      `${t('noticed')}: ${garden.name(notice.subject)}`, () => act.noticed(notice.id), act.enabled, 'mild'));
}

export function notices(garden, act) {
  const list = garden.notices();
  if (list.length === 0) {
    return [];
  }
  const items = (some) => h('ul', null, some.map((notice) => noticeItem(garden, notice, act)));
  const rest = list.slice(NOTICES_SHOWN);
  const urgent = rest.filter((notice) => notice.urgent && !notice.noticedBy).length;
  return [heading('notices', t('notices')), items(list.slice(0, NOTICES_SHOWN)),
    rest.length === 0 ? null : h('details', { 'data-key': 'more notices' },
      h('summary', { 'data-key': 'more notices sum' },
        urgent > 0 ? t('moreUrgent', rest.length, urgent) : t('moreNotices', rest.length)), items(rest))];
}

/* ---- the other sections ---- */

export function tile(garden) {
  const picture = garden.tile ? pictureOf(garden.tile) : null;
  // What may not be drawn is shown as what it is: a text.
  const instead = garden.tile ? h('pre', null, garden.tile.slice(0, 300)) : null;
  return [heading('tile', t('tile')), h('div', { class: 'scroll', tabindex: '0', role: 'group',
    'aria-labelledby': 'tile-h' }, picture || instead)];
}

function due(job) {
  if (!job.by) {
    return t('noHurry');
  }
  return job.late ? h('strong', { class: 'late' }, t('lateSince', clock(job.by)))
    : t('by', clock(job.by));
}

function jobItem(garden, job, act) {
  const name = job.plant === 'garden' ? word('things', 'garden') : garden.name(job.plant);
  const answer = word('answers', Object.hasOwn(catalogue.en.answers, job.job) ? job.job : 'done');
  const key = `${job.plant} ${job.job}`;
  return h('li', { class: job.late ? 'job overdue' : 'job' },
    h('div', { class: 'what' },
      h('b', null, name), ': ', said('span', job.whatCode, job.what || word('kinds', job.job), {}, phrase),
      h('div', { class: 'due' }, due(job), ' · ', t('minutes', job.minutes)),
      job.why === job.what ? null : h('details', { 'data-key': `why ${key}` },
        h('summary', { 'data-key': `whys ${key}`, 'aria-label': `${t('why')}: ${name}` }, t('why')),
        said('p', job.whyCode, job.why))),
    button(`done ${key}`, answer, `${answer}: ${name}`,
      () => act.done(job.plant, job.job), act.enabled));
}

export function jobs(garden, act) {
  const list = garden.jobs();
  return [heading('jobs', t('jobs')),
    list.length === 0 ? h('p', null, t('noJobs'))
      : h('ol', null, list.map((job) => jobItem(garden, job, act)))];
}

const amount = (text) => (Number.isFinite(Number.parseFloat(text))
  ? Number.parseFloat(text).toLocaleString(locale, { maximumFractionDigits: 2 }) : text);

// What a person has to release, the garden has raised an alert about.
function outputItem(garden, id, act) {
  const latched = garden.alerts.has(id);
  const name = garden.name(id);
  const blocks = blockItems(garden, id);
  const would = garden.text(id, 'would-switch');
  const command = garden.text(id, 'command');
  const energy = garden.text(id, 'energy');
  const position = garden.text(id, 'position');
  return h('li', { class: 'output' },
    h('div', null, h('b', null, name), ' ',
      command ? h('span', { class: 'command' }, word('commands', command)) : null,
      would && would !== command ? h('span', { class: 'faint' }, ` ${t('wouldBe', word('commands', would))}`) : null,
      energy ? h('span', { class: 'faint' }, ` · ${t('energy', amount(energy))}`) : null,
      position ? h('span', { class: 'faint' }, ` · ${t('closedShare', position)}`) : null,
      blocks.length === 0 ? null : h('div', { class: 'blocks' }, t('blocked'), ': ',
        h('ul', null, blocks))),
    !latched ? null
      : framed ? h('p', { class: 'faint' }, t('releaseNotFramed'))
        : button(`release ${id}`, t('release'), `${t('release')}: ${name}`,
          () => act.release(id), act.enabled, 'mild'));
}

export function outputs(garden, act) {
  const ids = garden.outputs();
  if (ids.length === 0) {
    return [];
  }
  const stopped = garden.text('garden', 'stop') === 'true';
  return [heading('outputs', t('outputs')),
    button('stop', t('stopAll'), t('stopAll'), act.stop, act.enabled, 'halt'),
    stopped ? h('p', { class: 'stopped' }, t('stopped')) : null,
    h('ul', { class: 'outputs' }, ids.map((id) => outputItem(garden, id, act)))];
}

export function checks(garden, act) {
  const waiting = garden.plants().filter((id) => garden.text(id, 'state') === 'wait and see' ||
    garden.text(id, 'also').includes('wait and see'));
  return [heading('checks', t('checks')),
    waiting.length === 0 ? h('p', null, t('noChecks'))
      : h('ul', { class: 'checks' }, waiting.map((id) => h('li', null,
        h('p', { id: `check-${id}` }, t('checkAsk', garden.name(id))),
        h('div', { role: 'group', 'aria-labelledby': `check-${id}` }, SEEN.map((seen) =>
          button(`seen ${id} ${seen}`, word('seen', seen), `${garden.name(id)}: ${word('seen', seen)}`,
            () => act.seen(id, seen), act.enabled, 'mild'))))))];
}

function placeForm(garden, id, act) {
  const now = garden.text(id, 'place');
  const select = h('select', { id: `place-${id}`, 'data-key': `place ${id}`, disabled: !act.enabled },
    garden.places(id).map((place) => h('option', { value: place, selected: place === now }, place)));
  return h('div', { class: 'say' }, h('label', { for: `place-${id}` }, t('place')), select,
    button(`moved ${id}`, t('moved'), `${t('moved')}: ${garden.name(id)}`,
      () => act.moved(id, select.value), act.enabled));
}

function coverForm(garden, id, act) {
  const worn = garden.list(id, 'wearing');
  const boxes = garden.covers(id).map((cover) => h('input', { type: 'checkbox', value: cover,
    id: `wear-${id}-${cover}`, 'data-key': `wear ${id} ${cover}`, checked: worn.includes(cover),
    disabled: !act.enabled }));
  if (boxes.length === 0) {
    return null;
  }
  return h('fieldset', { class: 'say' }, h('legend', null, t('wears')),
    boxes.map((box) => h('label', { for: box.id }, box, ' ', box.value)),
    button(`covered ${id}`, t('covered'), `${t('covered')}: ${garden.name(id)}`,
      () => act.covered(id, boxes.filter((box) => box.checked).map((box) => box.value)), act.enabled));
}

function numbersLine(garden, id) {
  const root = Number.parseFloat(garden.text(id, 'root-mean'));
  const ice = Number.parseFloat(garden.text(id, 'ice-share'));
  const at = timeOf(garden.text(id, 'measured-at'));
  const quality = garden.text(id, 'quality');
  return [Number.isFinite(root) ? `${t('rootBall')} ${degrees(root)}` : null,
    Number.isFinite(ice) ? `${t('ice')} ${Math.round(ice * 100)}\u00a0%` : null,
    quality ? `${word('restsOn', quality)}${at ? `, ${clock(at)}` : ''}` : null]
    .filter(Boolean).join(' · ');
}

function plantItem(garden, id, act, narrow) {
  const course = garden.course(id);
  return h('li', { class: 'plant' },
    h('h3', null, garden.name(id), ' ', stateWord(garden.text(id, 'state'))),
    said('p', garden.code(id, 'reason-code'), garden.text(id, 'reason')),
    h('p', { class: 'faint facts' }, numbersLine(garden, id)),
    course ? [h('p', { class: 'near' }, sentenceOf(course)), chartOf(course, id, narrow)]
      : h('p', { class: 'faint' }, t('noCourse')),
    h('details', { 'data-key': `say ${id}` },
      h('summary', { 'data-key': `says ${id}`, 'aria-label': `${t('where')}: ${garden.name(id)}` },
        t('where')),
      placeForm(garden, id, act), coverForm(garden, id, act)));
}

export function plants(garden, act, narrow) {
  return [heading('plants', t('plants')),
    h('ul', { class: 'plants' }, garden.plants().map((id) => plantItem(garden, id, act, narrow)))];
}

function choice(id, label, options, value, chosen) {
  return h('div', { class: 'choice' }, h('label', { for: `set-${id}` }, label),
    h('select', { id: `set-${id}`, 'data-key': `set ${id}`, onchange: (e) => chosen(e.target.value) },
      options.map(([key, text]) => h('option', { value: key, selected: key === value }, text))));
}

export function chooser(garden, change) {
  const members = garden ? garden.members().map((id) => [id.replace(/^household-/, ''), garden.name(id)]) : [];
  const set = (key) => (value) => change(key, value);
  return [h('h2', null, t('settings')),
    choice('language', t('language'), Object.entries(catalogue).map(([k, v]) => [k, v.name]),
      settings.language, set('language')),
    choice('unit', t('unit'), UNITS.map((u) => [u, `°${u}`]), settings.unit, set('unit')),
    choice('theme', t('theme'), THEMES.map((k) => [k, word('themes', k)]), settings.theme, set('theme')),
    members.length === 0 ? null
      : choice('who', t('who'), [['', '–'], ...members], settings.who, set('who'))];
}
