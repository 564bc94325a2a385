// SPDX-License-Identifier: MIT
// The tile into the page: an SVG from the broker, so hostile until it is proved. Only what the tile
// is made of passes: no style, no link, no script, no reference.

import DOMPurify from 'dompurify';

const RULES = {
  ALLOWED_TAGS: ['svg', 'title', 'desc', 'g', 'path', 'text', 'circle', '#text'],
  ALLOWED_ATTR: ['xmlns', 'viewBox', 'class', 'role', 'id', 'aria-labelledby', 'aria-hidden', 'd',
    'x', 'y', 'cx', 'cy', 'r', 'textLength', 'lengthAdjust'],
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

// The picture as an element; null when there is nothing that may be shown.
export function pictureOf(text) {
  if (!text.startsWith('<svg ')) {
    return null;
  }
  // The page has the tile's look in tile.css; its own copy would only be refused aloud.
  const fragment = DOMPurify.sanitize(text.replace(/<style>[^<]*<\/style>/, ''), RULES);
  const svg = fragment.firstElementChild;
  const whole = svg && svg.localName === 'svg' && svg.classList.contains('ow-tile');
  return whole ? document.importNode(svg, true) : null;
}
