// SPDX-License-Identifier: MIT
// Starts the page: hears the garden, shows it, says what people tell it.

import { forget, h, show } from './dom.js';
import { Garden } from './garden.js';
import { Link } from './link.js';
import { fitPicture } from './picture.js';
import { again } from './say.js';
import { clock, keep, recall, sentence, settings } from './settings.js';
import { language, speak, t, word } from './texts.js';
import * as view from './view.js';

const ANSWER_MS = 5000;
const SILENT_MS = 180000;
const SAID_MS = 12000;

const page = document.documentElement.dataset;
const root = /^[a-z0-9-]+$/.test(page.root) ? page.root : 'homie';
const narrow = window.matchMedia('(max-width: 560px)');
let garden = null;
let downSince = null;
let everUp = false;
let link = null;

/* ---- telling the reader ---- */

function say(text, kind) {
  const line = h('p', { class: kind || 'plain' }, text);
  document.getElementById('said').append(line);
  setTimeout(() => line.remove(), SAID_MS);
}

function statusText() {
  if (downSince) {
    return everUp ? t('lost', clock(downSince)) : t('connecting');
  }
  if (!garden) {
    return t('waiting');
  }
  if (garden.state && garden.state !== 'ready' && garden.state !== 'init') {
    return t('unminded', clock(garden.stateSince));
  }
  if (garden.beatAt && Date.now() - garden.beatAt > SILENT_MS) {
    return t('silent', clock(garden.beatAt));
  }
  return '';
}

function minded() {
  return Boolean(garden) && !downSince && garden.state === 'ready';
}

/* ---- what people say ---- */

// What was said counts as taken when the garden reflects it; what it refuses it tells in its log.
function tell(node, property, text, label) {
  const key = `${node}/${property}`;
  if (!minded() || !link.say(`${root}/5/${garden.id}/${key}/set`, text, who())) {
    return;
  }
  say(t('sent', label));
  if (garden.values.get(key) === text) {
    return;
  }
  setTimeout(() => {
    if (garden.values.get(key) !== text && !garden.refusedAt(key)) {
      say(t('noAnswer', label), 'bad');
    }
  }, ANSWER_MS);
}

const who = () => settings.who || 'page';

function askRelease(output) {
  const dialog = document.getElementById('ask');
  const name = garden.name(output);
  dialog.replaceChildren(
    h('h2', { id: 'ask-h' }, t('releaseTitle', name)),
    h('p', null, t('releaseText')),
    h('ul', null, view.blockItems(garden, output)),
    h('button', { type: 'button', class: 'mild', onclick: () => dialog.close() }, t('cancel')),
    h('button', { type: 'button', class: 'act', onclick: () => {
      dialog.close();
      tell(output, 'release', who(), `${t('release')}: ${name}`);
    } }, t('release')));
  dialog.showModal();
}

function noticed(member, id) {
  tell(`household-${member}`, 'noticed', id, t('noticed'));
}

// A notice is seen by somebody: whoever they said they are, the only one there is, or who they say now.
function askNoticed(id) {
  const members = garden.members().map((member) => member.replace(/^household-/, ''));
  const only = members.length === 1 ? members[0] : members.find((member) => member === settings.who);
  if (only) {
    noticed(only, id);
    return;
  }
  const dialog = document.getElementById('ask');
  dialog.replaceChildren(h('h2', { id: 'ask-h' }, t('whoAsk')), h('p', null, t('whoWhy')),
    ...members.map((member) => h('button', { type: 'button', class: 'act', onclick: () => {
      dialog.close();
      choose('who', member);
      noticed(member, id);
    } }, garden.name(`household-${member}`))),
    h('button', { type: 'button', class: 'mild', onclick: () => dialog.close() }, t('cancel')));
  dialog.showModal();
}

function acts() {
  return {
    enabled: minded(),
    done: (plant, job) => tell(plant, 'done', JSON.stringify({ job, who: who() }),
      `${garden.name(plant)}: ${word('kinds', job)}`),
    moved: (plant, place) => tell(plant, 'place', place, `${garden.name(plant)}: ${place}`),
    covered: (plant, covers) => tell(plant, 'wearing', JSON.stringify(covers),
      `${garden.name(plant)}: ${covers.join(', ') || '–'}`),
    seen: (plant, seen) => tell(plant, 'seen', seen, `${garden.name(plant)}: ${word('seen', seen)}`),
    noticed: askNoticed,
    stop: () => tell('garden', 'stop', 'true', t('stopAll')),
    release: askRelease,
  };
}

/* ---- showing ---- */

function choose(key, value) {
  settings[key] = value;
  keep();
  dress();
}

// What is urgent and new is read out at once, each thing once.
const announced = new Set();

function announce() {
  const fresh = garden.notices().filter((notice) => notice.urgent && !notice.noticedBy &&
    !announced.has(`${notice.id} ${notice.raised}`));
  if (fresh.length > 0) {
    fresh.forEach((notice) => announced.add(`${notice.id} ${notice.raised}`));
    document.getElementById('urgent').textContent = fresh.map(view.noticeText).join(' ');
  }
}

let due = false;

function draw() {
  due = false;
  const status = document.getElementById('link');
  const text = statusText();
  if (status.textContent !== text) {
    status.textContent = text;
  }
  document.getElementById('skip').textContent = t('skip');
  show('settings', JSON.stringify([settings, garden ? garden.members() : 0]),
    () => view.chooser(garden, choose));
  if (!garden) {
    return;
  }
  const act = acts();
  const all = [...garden.values];
  const says = (filter) => JSON.stringify([act.enabled, settings, narrow.matches, garden.nodes.size,
    new Date().toDateString(), all.filter(([key]) => filter(key))]);
  const ofOutputs = new Set(garden.outputs());
  show('head', says((k) => k.startsWith('garden/')) + JSON.stringify([...garden.alerts]),
    () => view.head(garden));
  show('notices', says((k) => k === 'garden/notices'), () => view.notices(garden, act));
  announce();
  show('tile', garden.tile + settings.language + settings.unit, () => view.tile(garden));
  fitPicture(document.getElementById('tile'));
  show('jobs', says((k) => k === 'garden/jobs'), () => view.jobs(garden, act));
  show('outputs', says((k) => k === 'garden/stop' || ofOutputs.has(k.split('/')[0])) +
    [...garden.alerts.keys()],
    () => view.outputs(garden, act));
  show('checks', says((k) => /\/(state|also|seen)$/.test(k)), () => view.checks(garden, act));
  show('plants', says((k) => !k.startsWith('garden/') && !ofOutputs.has(k.split('/')[0])),
    () => view.plants(garden, act, narrow.matches));
}

function drawSoon() {
  if (!due) {
    due = true;
    setTimeout(draw, 50);
  }
}

function dress() {
  if (language !== settings.language) { // what was said was said in another one
    document.getElementById('urgent').textContent = '';
    document.getElementById('said').replaceChildren();
  }
  speak(settings.language);
  page.theme = settings.theme;
  forget();
  draw();
}

/* ---- hearing ---- */

// 'TOPIC: "TEXT" is refused; WHY'
function refusal(text) {
  const at = text.lastIndexOf('" is refused; ');
  const why = at < 0 ? null : again(text.slice(at + 14));
  return why === null ? sentence(text) : t('refusedSaid', why);
}

function mind(id) {
  garden = new Garden(id);
  const refused = new Map();
  garden.refusedAt = (key) => refused.has(key);
  garden.log = (line) => {
    const key = line.slice(0, 400).match(/\/5\/[^/]+\/([a-z0-9-]+\/[a-z0-9-]+)\/set:/);
    if (key) {
      refused.set(key[1], Date.now());
      setTimeout(() => refused.delete(key[1]), 2 * ANSWER_MS);
      say(refusal(line.slice(line.indexOf(key[0]) + key[0].length).trim()), 'bad');
    }
  };
  for (const part of ['$state', '+/+']) {
    link.listen(`${root}/5/${id}/${part}`);
  }
}

function message(topic, payload) {
  const [first, five, id, ...below] = topic.split('/');
  if (first !== root || five !== '5' || !/^[a-z0-9][a-z0-9-]*$/.test(id || '')) {
    return;
  }
  const asked = new URLSearchParams(location.search).get('garden') || page.garden;
  if (!garden && below[0] === '$description' && (!asked || asked === id) &&
      new TextDecoder().decode(payload.slice(0, 400000)).includes('overwinter/garden')) {
    mind(id);
  }
  if (garden && garden.id === id && garden.take(below.join('/'), payload)) {
    drawSoon();
  }
}

function signIn() {
  const dialog = document.getElementById('ask');
  const user = h('input', { id: 'user', autocomplete: 'username' });
  const password = h('input', { id: 'password', type: 'password', autocomplete: 'current-password' });
  dialog.replaceChildren(h('h2', { id: 'ask-h' }, t('refused')),
    h('label', { for: 'user' }, t('user')), user,
    h('label', { for: 'password' }, t('password')), password,
    h('button', { type: 'button', class: 'act', onclick: () => {
      dialog.close();
      link.open({ username: user.value, password: password.value });
    } }, t('signIn')));
  dialog.showModal();
}

recall();
downSince = new Date();
dress();
link = new Link(root, page.broker, {
  up: () => {
    downSince = null;
    everUp = true;
    drawSoon();
  },
  down: () => {
    downSince = downSince || new Date();
    drawSoon();
  },
  refused: signIn,
  message,
});
narrow.addEventListener('change', drawSoon);
setInterval(drawSoon, 10000);
