// SPDX-License-Identifier: MIT
// The tile into the page: an SVG from the broker, so hostile until it is proved. Only what the tile
// is made of passes: no style, no link, no script, no reference.

import DOMPurify from 'dompurify';
import { phrase, speech } from './say.js';
import { sentence } from './settings.js';

const RULES = {
  ALLOWED_TAGS: ['svg', 'title', 'desc', 'g', 'path', 'text', 'circle', '#text'],
  ALLOWED_ATTR: ['xmlns', 'viewBox', 'class', 'role', 'id', 'aria-labelledby', 'aria-hidden', 'd',
    'x', 'y', 'cx', 'cy', 'r', 'textLength', 'lengthAdjust', 'data-say', 'data-fit'],
  ALLOW_DATA_ATTR: false,
  ALLOW_ARIA_ATTR: false,
  KEEP_CONTENT: false,
  NAMESPACE: 'http://www.w3.org/2000/svg',
  PARSER_MEDIA_TYPE: 'application/xhtml+xml',
  RETURN_DOM_FRAGMENT: true,
};

const SHAPES = {
  class: /^[a-z0-9 -]{0,40}$/,
  id: /^ow-tile-[a-z]{1,10}$/,
  role: /^(group|img)$/,
  'aria-labelledby': /^ow-tile-title ow-tile-desc$/,
};

DOMPurify.addHook('uponSanitizeAttribute', (_, data) => {
  const shape = SHAPES[data.attrName];
  if (shape && !shape.test(data.attrValue)) {
    data.keepAttr = false;
  }
});

// Another word wants another label: the path before it, drawn as the module does.
function fitLabel(label, text, letters, room) {
  const half = 0.5 * Math.min(letters + 16, room);
  const mid = Number(text.getAttribute('x')) - 1.5;
  const y = Number(text.getAttribute('y')) - 3.2;
  label.setAttribute('d', `M${mid - half} ${y}l4-5.8h${2 * half - 4}v11.6h${4 - 2 * half}z`);
  return 2 * half - 8;
}

// Once it is shown, with the letters that this reader's system has: what is too long is squeezed.
export function fitPicture(within) {
  for (const text of within.querySelectorAll('text[data-fit]')) {
    text.removeAttribute('textLength');
    text.removeAttribute('lengthAdjust');
    const letters = text.getComputedTextLength();
    let room = Number(text.getAttribute('data-fit'));
    const before = text.previousElementSibling;
    if (before && /^tag(line)?$/.test(before.getAttribute('class') || '')) {
      room = fitLabel(before, text, letters, room);
    }
    if (room > 0 && letters > room) {
      text.setAttribute('textLength', room.toFixed(0));
      text.setAttribute('lengthAdjust', 'spacingAndGlyphs');
    }
    text.removeAttribute('data-fit');
  }
}

// Its words in the reader's language and units.
function say(svg) {
  for (const element of svg.querySelectorAll('[data-say]')) {
    let codes = null;
    try {
      codes = JSON.parse(element.getAttribute('data-say'));
    } catch {
      // then the garden's own English
    }
    const line = element.localName === 'text' && !element.classList.contains('head');
    const said = (line ? phrase : speech)(codes);
    element.removeAttribute('data-say');
    element.textContent = said === null ? sentence(element.textContent) : said;
  }
}

// The picture as an element; null when there is nothing that may be shown.
export function pictureOf(text) {
  if (!text.startsWith('<svg ')) {
    return null;
  }
  // The page has the tile's look in tile.css; its own copy would only be refused aloud.
  const fragment = DOMPurify.sanitize(text.replace(/<style>[^<]*<\/style>/, ''), RULES);
  const svg = fragment.firstElementChild;
  const whole = svg && svg.localName === 'svg' && svg.classList.contains('ow-tile');
  if (!whole) {
    return null;
  }
  say(svg);
  return document.importNode(svg, true);
}
