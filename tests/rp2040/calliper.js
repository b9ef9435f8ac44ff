'use strict';
// Calliper packets as pin changes, drawn from published times and not with the project's own
// scripts.
//
//            low  high       gap after every fourth
//   clock ‾‾|____|‾‾|____|‾‾‾‾‾‾‾‾|_      data is stable around each fall

const { US } = require('./board.js');

/** Times in microseconds; sources in hardware-notes/callipers/. */
const SHAPE = {
  sync24Quick: { low: 220, high: 80, gap: 385, moves: 240 },
  sync24Slow: { low: 150, high: 300, gap: 700, moves: 170 },
  bcd52: { low: 124, high: 304, gap: 732, moves: 144 },
};

/** A repeatable generator (the 32-bit xorshift of Marsaglia 2003, from memory). */
function chance(seed) {
  let x = seed >>> 0 || 1;
  return (limit) => {
    x ^= x << 13;
    x ^= x >>> 17;
    x ^= x << 5;
    x >>>= 0;
    return limit > 0 ? x % limit : 0;
  };
}

const bitsOf = (value, count) => Array.from({ length: count }, (_, i) => (value >>> i) & 1);

/** 24 bits: magnitude, sign at 20, inch at 23, least significant first. */
const sync24 = (steps, { negative = false, inch = false } = {}) =>
  bitsOf(steps | (negative << 20) | (inch << 23), 24);

/** 13 digits: four of all ones, sign, six of the number, places, unit; each lowest bit first. */
function bcd52(number, places, { negative = false, inch = false } = {}) {
  const digits = [...String(number).padStart(6, '0')].map(Number);
  const all = [15, 15, 15, 15, negative ? 8 : 0, ...digits, places, inch ? 1 : 0];
  return all.flatMap((digit) => bitsOf(digit, 4));
}

/**
 * One packet as changes for Board.wave: { after } in nanoseconds from the packet's start. `speed` 2
 * is twice as fast; `jitter` in microseconds makes each change late by up to that much.
 */
function packet(bits, shape, { speed = 1, jitter = 0, seed = 1 } = {}) {
  const late = chance(seed);
  const changes = [];
  let fall = 100;
  let level = 1;
  const mark = (at, clock) => changes.push({ at, clock, level: !!level });
  bits.forEach((bit, place) => {
    // The data is there 50 us before the first fall, and afterwards from `moves` on.
    if (place === 0) {
      level = bit;
      mark(fall - 50, true);
    }
    const next = bits[place + 1] ?? 1;
    mark(fall, false);
    const moves = () => {
      level = next;
      mark(fall + shape.moves, shape.moves >= shape.low);
    };
    if (shape.moves < shape.low) moves();
    mark(fall + shape.low, true);
    if (shape.moves >= shape.low) moves();
    fall += shape.low + (place % 4 === 3 ? shape.gap : shape.high);
  });
  let before = 0;
  return changes.map(({ at, clock, level: data }) => {
    before = Math.max(before, (at / speed) * US + late(jitter * US + 1));
    return { after: Math.round(before), clock, level: data };
  });
}

module.exports = { SHAPE, sync24, bcd52, packet, chance };
