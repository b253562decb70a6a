// SPDX-License-Identifier: Apache-2.0
// Amounts and dates as the reader's country writes them, degrees as the reader chose.
import {locale, t} from "/words.js";

const degrees_key = "leadwright_degrees";
const is_number = (value) => typeof value === "number" && Number.isFinite(value);
const formats = new Map();

export const is_fahrenheit = localStorage.getItem(degrees_key) === "f";
export const degree_unit = is_fahrenheit ? "°F" : "°C";
export const kelvin_in_degrees = is_fahrenheit ? 1.8 : 1;
export const in_degrees = (degc) => is_fahrenheit ? degc * 1.8 + 32 : degc;
export const in_degc = (degrees) => is_fahrenheit ? (degrees - 32) / 1.8 : degrees;
export function keep_degrees(chosen) {
  localStorage.setItem(degrees_key, chosen);
}

// Without separators of thousands, and without a minus before zero.
export function number(value, digits) {
  if (!formats.has(digits)) {
    const options = {minimumFractionDigits: digits, maximumFractionDigits: digits, useGrouping: false};
    formats.set(digits, new Intl.NumberFormat(locale, options));
  }
  return formats.get(digits).format(Number(value.toFixed(digits)) === 0 ? 0 : value);
}

export const whole = (value) => value.toLocaleString(locale);

export function amount(value, digits, unit) {
  return `${is_number(value) ? number(value, digits) : "–"} ${unit}`;
}

export const degrees = (degc) => amount(is_number(degc) ? in_degrees(degc) : null, 1, degree_unit);

// A number as stated on a label: as many decimals as it has.
export const stated = (value) => value.toLocaleString(locale, {maximumFractionDigits: 6, useGrouping: false});

// `finest`: what must be told apart, in seconds; one tells 90 s from 120 s.
export function duration(seconds, finest = 60) {
  if (!is_number(seconds)) return "";
  const s = Math.max(0, Math.round(seconds));
  if (s < 90 || (finest < 60 && s < 600)) return t("seconds", {s});
  const minutes = Math.round(s / 60);
  if (minutes < 60) return t("minutes", {min: minutes});
  return t("hours", {h: Math.floor(minutes / 60), min: String(minutes % 60).padStart(2, "0")});
}

// How long ago a moment was, at another: whole days from two on.
export function age(from, to) {
  const seconds = (new Date(to) - new Date(from)) / 1000;
  if (!(seconds >= 2 * 86400)) return duration(seconds);
  return t("days", {d: Math.floor(seconds / 86400), h: Math.floor(seconds % 86400 / 3600)});
}

const instants = new Intl.DateTimeFormat(locale, {
  year: "numeric",
  month: "short",
  day: "numeric",
  hour: "numeric",
  minute: "2-digit",
  second: "2-digit",
  timeZoneName: "short"
});

// "2026-01-01T09:12:00Z" where the reader is, with the name of the zone.
export function moment(text) {
  const at = new Date(text ?? Number.NaN);
  return Number.isNaN(at.getTime()) ? "" : instants.format(at);
}

const near_instants = new Intl.DateTimeFormat(
    locale, {weekday: "short", month: "short", day: "numeric", hour: "numeric", minute: "2-digit"});

// The same where there is little room, for a moment that is near.
export function short_moment(text) {
  const at = new Date(text ?? Number.NaN);
  return Number.isNaN(at.getTime()) ? "" : near_instants.format(at);
}

// "2024-03" or "2024-03-15"; what is neither stays as it is.
export function day(text) {
  const parts = /^(\d{4})-(\d{2})(?:-(\d{2}))?$/u.exec(text ?? "");
  if (!parts) return text ?? "";
  const [, year, month, of_month] = parts;
  const at = new Date(Date.UTC(Number(year), Number(month) - 1, Number(of_month ?? 1)));
  const options = {year: "numeric", month: "long", timeZone: "UTC"};
  if (of_month) options.day = "numeric";
  return at.toLocaleDateString(locale, options);
}

// What a person typed, with a point or a comma; null if nothing, NaN if it is no number.
export function typed(text) {
  const trimmed = text.trim();
  if (!trimmed) return null;
  return /^[+-]?\d+(?:[.,]\d+)?$/u.test(trimmed) ? Number(trimmed.replace(",", ".")) : Number.NaN;
}
