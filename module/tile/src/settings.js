// SPDX-License-Identifier: MIT
// What a reader chooses, kept in this browser, and numbers and times as they chose.

import { catalogue, locale } from './texts.js';

const KEY = 'overwinter';
export const UNITS = ['C', 'F'];
export const THEMES = ['auto', 'light', 'dark'];

function browserLanguage() {
  const codes = (navigator.languages || ['en']).map((code) => code.slice(0, 2));
  return codes.find((code) => Object.hasOwn(catalogue, code)) || 'en';
}

export const settings = { language: browserLanguage(), unit: 'C', theme: 'auto', who: '' };

function pick(from, key, allowed) {
  if (typeof from[key] === 'string' && (!allowed || allowed.includes(from[key]))) {
    settings[key] = from[key].slice(0, 60);
  }
}

export function recall() {
  let kept = {};
  try {
    kept = JSON.parse(localStorage.getItem(KEY)) || {};
  } catch {
    // storage may be shut off in a frame: the defaults then
  }
  const asked = Object.fromEntries(new URLSearchParams(location.search));
  for (const from of [kept, asked]) {
    pick(from, 'language', Object.keys(catalogue));
    pick(from, 'unit', UNITS);
    pick(from, 'theme', THEMES);
  }
  pick(kept, 'who');
}

export function keep() {
  try {
    localStorage.setItem(KEY, JSON.stringify(settings));
  } catch {
    // not kept, but in force
  }
}

export function inUnit(celsius) {
  return settings.unit === 'F' ? celsius * 1.8 + 32 : celsius;
}

export function degrees(celsius) {
  const value = inUnit(celsius);
  return `${value.toLocaleString(locale, { maximumFractionDigits: 1, minimumFractionDigits: 1 })}\u00a0°${settings.unit}`;
}

export function wholeDegrees(celsius) {
  const value = Math.round(inUnit(celsius));
  return `${value < 0 ? '−' : '+'}${Math.abs(value)}\u00a0°${settings.unit}`;
}

export function kelvins(k) {
  const value = settings.unit === 'F' ? k * 1.8 : k;
  const text = value.toLocaleString(locale, { maximumFractionDigits: 1, minimumFractionDigits: 1 });
  return `${text}\u00a0${settings.unit === 'F' ? '°F' : 'K'}`;
}

// The garden's English gives temperatures as "-7.6 C".
export function sentence(text) {
  return text.replace(/(-?\d+\.\d) °?C\b/g, (_, c) =>
    settings.unit === 'F' ? `${inUnit(Number(c)).toFixed(1)}\u00a0°F` : `${c}\u00a0°C`);
}

export function clock(date) {
  const today = new Date().toDateString() === date.toDateString();
  const how = today ? { hour: '2-digit', minute: '2-digit' }
    : { weekday: 'short', day: 'numeric', month: 'short', hour: '2-digit', minute: '2-digit' };
  return new Intl.DateTimeFormat(locale, how).format(date);
}

export function day(date) {
  return new Intl.DateTimeFormat(locale, { day: 'numeric', month: 'long', year: 'numeric' }).format(date);
}

export function dayName(date) {
  return new Intl.DateTimeFormat(locale, { weekday: 'short', day: 'numeric' }).format(date);
}
