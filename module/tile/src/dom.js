// SPDX-License-Identifier: MIT
// Elements from plain data: text only ever becomes a text node, never markup.

const SVG = 'http://www.w3.org/2000/svg';

function build(element, attributes, children) {
  for (const [key, value] of Object.entries(attributes || {})) {
    if (key.startsWith('on')) {
      element.addEventListener(key.slice(2), value);
    } else if (value === true) {
      element.setAttribute(key, '');
    } else if (value !== false && value !== null && value !== undefined) {
      element.setAttribute(key, String(value));
    }
  }
  element.append(...children.flat(Infinity).filter((child) => child !== null && child !== undefined));
  return element;
}

export function h(name, attributes, ...children) {
  return build(document.createElement(name), attributes, children);
}

export function s(name, attributes, ...children) {
  return build(document.createElementNS(SVG, name), attributes, children);
}

// Puts nodes into a section when what they say has changed. What somebody is choosing from is left
// alone until they are done, and what they have chosen but not said yet is kept; the focus stays with
// the control of the same key; what was folded open stays so.
const shown = new Map();

const isBox = (control) => control.type === 'checkbox';

function changed(control) {
  return isBox(control) ? control.checked !== control.defaultChecked
    : [...control.options].some((option) => option.selected !== option.defaultSelected);
}

function choices(section) {
  return [...section.querySelectorAll('select[data-key], input[type=checkbox][data-key]')];
}

export function show(id, says, nodes) {
  const section = document.getElementById(id);
  const active = document.activeElement;
  const within = section.contains(active);
  const choosing = within && active.matches('select, input') && shown.has(id);
  if (shown.get(id) === says || choosing) {
    return;
  }
  shown.set(id, says);
  const key = within ? active.dataset.key : null;
  const open = [...section.querySelectorAll('details[open]')].map((d) => d.dataset.key);
  const chosen = new Map(choices(section).filter(changed)
    .map((control) => [control.dataset.key, isBox(control) ? control.checked : control.value]));
  section.replaceChildren(...nodes().flat(Infinity).filter(Boolean));
  for (const details of section.querySelectorAll('details')) {
    details.open = open.includes(details.dataset.key);
  }
  for (const control of choices(section).filter((c) => chosen.has(c.dataset.key))) {
    control[isBox(control) ? 'checked' : 'value'] = chosen.get(control.dataset.key);
  }
  if (key) {
    const next = [...section.querySelectorAll('[data-key]')].find((e) => e.dataset.key === key);
    (next || section).focus();
  }
}

// All is shown anew, whatever somebody is at: another language, for one.
export function forget() {
  shown.clear();
}
