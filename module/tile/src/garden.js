// SPDX-License-Identifier: MIT
// What the broker has told of one garden. Every payload is taken for hostile: nothing is believed
// but texts of bounded length, ids of the hub's own form, and JSON of the shape that is looked for.

const ID = /^[a-z0-9][a-z0-9-]{0,63}$/;
const LONGEST_TEXT = 4000;
const LONGEST_JSON = 400000;
const LONGEST_LIST = 2000;

const decoder = new TextDecoder();

function textOf(payload, most) {
  if (payload.length > most) {
    return null;
  }
  const text = decoder.decode(payload);
  return text === '\0' ? '' : text;
}

function jsonOf(text) {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

export function isObject(value) {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

export function stringOf(value) {
  return typeof value === 'string' ? value.slice(0, LONGEST_TEXT) : '';
}

function listOf(value) {
  return Array.isArray(value) ? value.slice(0, LONGEST_LIST) : [];
}

// Temperatures and shares: what is out of the world would make an axis without end.
function numbersOf(value) {
  return listOf(value).map((v) => (typeof v === 'number' && Math.abs(v) <= 100 ? v : null));
}

export function timeOf(value) {
  const date = typeof value === 'string' && value.length < 40 ? new Date(value) : new Date(NaN);
  return Number.isNaN(date.getTime()) ? null : date;
}

export class Garden {
  constructor(id) {
    this.id = id;
    this.nodes = new Map(); // id -> { name, kind, properties: Map(id -> {format}) }
    this.values = new Map(); // "node/property" -> text
    this.alerts = new Map();
    this.tile = '';
    this.state = '';
    this.stateSince = null;
    this.beatAt = null;
    this.log = null; // called with each line that the garden logs
  }

  // Takes a message whose topic lies below the garden's own; true: something has changed.
  take(below, payload) {
    const [node, property, more] = below.split('/');
    if (more !== undefined) {
      return false;
    }
    if (property === undefined) {
      return this.takeOwn(node, payload);
    }
    if (node === '$alert' && ID.test(property)) {
      return this.put(this.alerts, property, textOf(payload, LONGEST_TEXT));
    }
    if (node === '$log') {
      const line = textOf(payload, LONGEST_TEXT);
      if (line && this.log) {
        this.log(line);
      }
      return false;
    }
    if (!ID.test(node) || !ID.test(property)) {
      return false;
    }
    if (node === 'garden' && property === 'beat') {
      this.beatAt = new Date();
      return false;
    }
    if (node === 'garden' && property === 'tile') {
      this.tile = textOf(payload, LONGEST_JSON) || '';
      return true;
    }
    return this.put(this.values, `${node}/${property}`, textOf(payload, LONGEST_JSON));
  }

  takeOwn(attribute, payload) {
    const text = textOf(payload, LONGEST_JSON);
    if (attribute === '$state' && text !== null && text !== this.state) {
      this.state = stringOf(text);
      this.stateSince = new Date();
      return true;
    }
    if (attribute === '$description' && text !== null) {
      this.describe(jsonOf(text));
      return true;
    }
    return false;
  }

  put(map, key, text) {
    if (text === null || map.get(key) === text) {
      return false;
    }
    return text === '' ? map.delete(key) : Boolean(map.set(key, text));
  }

  describe(description) {
    this.nodes.clear();
    const nodes = isObject(description) && isObject(description.nodes) ? description.nodes : {};
    for (const [id, node] of Object.entries(nodes).slice(0, LONGEST_LIST)) {
      if (!ID.test(id) || !isObject(node)) {
        continue;
      }
      const properties = new Map();
      for (const [key, property] of Object.entries(isObject(node.properties) ? node.properties : {})) {
        if (ID.test(key) && isObject(property)) {
          properties.set(key, { format: stringOf(property.format) });
        }
      }
      this.nodes.set(id, { name: stringOf(node.name) || id, kind: stringOf(node.type), properties });
    }
  }

  text(node, property) {
    return (this.values.get(`${node}/${property}`) || '').slice(0, LONGEST_TEXT);
  }

  ofKind(...kinds) {
    return [...this.nodes].filter(([, node]) => kinds.includes(node.kind)).map(([id]) => id);
  }

  plants() {
    return this.ofKind('overwinter/plant');
  }

  outputs() {
    return this.ofKind('overwinter/heater', 'overwinter/drive');
  }

  members() {
    return this.ofKind('overwinter/member');
  }

  name(id) {
    const node = this.nodes.get(id);
    return node ? node.name : id;
  }

  places(plant) {
    const property = this.nodes.get(plant).properties.get('place');
    return property ? property.format.split(',').filter((id) => ID.test(id)) : [];
  }

  // The covers that there are: the format of `wearing` is a JSON schema.
  covers(plant) {
    const property = this.nodes.get(plant).properties.get('wearing');
    const schema = property ? jsonOf(property.format) : null;
    const items = isObject(schema) && isObject(schema.items) ? schema.items.enum : [];
    return listOf(items).filter((id) => typeof id === 'string' && ID.test(id));
  }

  list(node, property) {
    return listOf(jsonOf(this.values.get(`${node}/${property}`) || '[]'))
      .filter((item) => typeof item === 'string').map(stringOf);
  }

  jobs() {
    return listOf(jsonOf(this.values.get('garden/jobs') || '[]')).filter(isObject)
      .filter((job) => typeof job.plant === 'string' && ID.test(job.plant))
      .map((job) => ({ plant: job.plant, job: stringOf(job.job), what: stringOf(job.what),
        why: stringOf(job.why), whatCode: job.what_code, whyCode: job.why_code,
        by: timeOf(job.by), late: job.late === true,
        minutes: Number.isFinite(job.minutes) ? job.minutes : 0 }));
  }

  // What stands, what matters most first.
  notices() {
    return listOf(jsonOf(this.values.get('garden/notices') || '[]')).filter(isObject)
      .filter((notice) => typeof notice.id === 'string' && notice.id.length < 200)
      .map((notice) => ({ id: notice.id, subject: stringOf(notice.subject), urgent: notice.urgency === 'urgent',
        text: stringOf(notice.text), code: notice.code, raised: timeOf(notice.raised),
        by: timeOf(notice.act_by), noticedBy: stringOf(notice.noticed_by) }));
  }

  // Codes beside a sentence; null: there are none.
  code(node, property) {
    return jsonOf(this.values.get(`${node}/${property}`) || 'null');
  }

  // Null when there is none that can be drawn.
  course(plant) {
    const raw = jsonOf(this.values.get(`${plant}/course`) || 'null');
    if (!isObject(raw)) {
      return null;
    }
    const from = timeOf(raw.from);
    const root = numbersOf(raw.root);
    const stepH = raw.step_h;
    if (!from || root.length < 2 || !(stepH >= 0.25 && stepH <= 24)) {
      return null;
    }
    const parts = Object.entries(isObject(raw.parts) ? raw.parts : {}).slice(0, 8)
      .filter(([, part]) => isObject(part))
      .map(([name, part]) => ({ name: name.slice(0, 40), c: numbersOf(part.c),
        limit: numbersOf(part.limit), low: numbersOf(part.low), high: numbersOf(part.high) }));
    const band = numbersOf(raw.band_pct);
    return { from, now: timeOf(raw.now), stepH, root, ice: numbersOf(raw.ice),
      band: band.length === 2 && !band.includes(null) ? band : null,
      low: numbersOf(raw.root_low), high: numbersOf(raw.root_high), parts };
  }
}
