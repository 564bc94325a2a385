// SPDX-License-Identifier: MIT
// The way to the broker: MQTT over WebSocket, tried again for ever.

import mqtt from 'mqtt';

const NOT_AUTHORISED = [4, 5, 134, 135];

function address(given) {
  if (/^wss?:\/\//.test(given)) {
    return given;
  }
  return `${location.protocol === 'https:' ? 'wss' : 'ws'}://${location.host}/mqtt`;
}

// hears: up(), down(), refused(), message(topic, payload)
export class Link {
  constructor(root, given, hears) {
    this.root = root;
    this.address = address(given);
    this.hears = hears;
    this.topics = new Set([`${root}/5/+/$description`]);
    this.open({});
  }

  open(credentials) {
    this.client = mqtt.connect(this.address, { ...credentials,
      protocolVersion: 5,
      clientId: `page-${crypto.getRandomValues(new Uint32Array(2)).join('-')}`,
      reconnectPeriod: 2000,
      connectTimeout: 8000,
      keepalive: 15,
      timerVariant: 'native',
      queueQoSZero: false });
    this.client.on('connect', () => {
      this.client.subscribe([...this.topics], { qos: 1 });
      this.hears.up();
    });
    this.client.on('close', () => this.hears.down());
    this.client.on('message', (topic, payload) => this.hears.message(topic, payload));
    this.client.on('error', (error) => {
      if (NOT_AUTHORISED.includes(error.code)) {
        this.client.end(true);
        this.hears.refused();
      }
    });
  }

  get up() {
    return this.client.connected;
  }

  listen(topic) {
    this.topics.add(topic);
    if (this.up) {
      this.client.subscribe(topic, { qos: 1 });
    }
  }

  // Never stored, and never kept for later: what is said is said now or not at all.
  say(topic, text, who) {
    if (this.up) {
      this.client.publish(topic, text,
        { qos: 1, retain: false, properties: { userProperties: { who } } });
    }
    return this.up;
  }
}
