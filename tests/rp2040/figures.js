'use strict';
// Measures the image in virtual time and prints the figures for hardware-notes/figures.md.
// Instructions are counted, time is the emulated chip's: the same on every machine.

const fs = require('node:fs');
const { Board, MS } = require('./board.js');
const { SHAPE, sync24, packet } = require('./calliper.js');
const { start } = require('./story.js');

const elf = fs.readFileSync(process.env.HORNRULE_RP2040_IMAGE);
const say = (what, value) => console.log(`| ${what} | ${value} |`);

/** A 2 MiB serial flash, nanoseconds, from memory of datasheets. */
const TIMES = {
  typical: { erase: 45e6, program: 0.7e6 },
  worst: { erase: 400e6, program: 3e6 },
};

function ready(time) {
  const fresh = new Board(elf, { time: { erase: 1e6, program: 0.1e6 } });
  start(fresh);
  const board = new Board(elf, { log: fresh.log(), time });
  start(board);
  board.keys('COW 412 COW RH');
  board.run(3_000 * MS);
  return board;
}

/** Instructions in `nanos`, while `play` does something. */
function spent(board, play) {
  const [instructions, nanos] = [board.instructions, board.clock.nanos];
  play();
  return { instructions: board.instructions - instructions, nanos: board.clock.nanos - nanos };
}

function idle(board) {
  const { instructions, nanos } = spent(board, () => board.run(20_000 * MS));
  return instructions / (nanos / 1e9);
}

function perEdge(board, atRest) {
  const changes = packet(sync24(7532), SHAPE.sync24Slow);
  const clocks = 48;
  const { instructions, nanos } = spent(board, () => board.wave(changes));
  return (instructions - (atRest * nanos) / 1e9) / clocks;
}

function perScan(board) {
  // Held down and already reported: only scans are left.
  board.pressed.add(0);
  for (const pin of [11]) board.set(pin, false);
  board.run(200 * MS);
  const { instructions, nanos } = spent(board, () => board.run(1_000 * MS));
  board.pressed.clear();
  board.set(11, true);
  board.run(1_000 * MS);
  return instructions / (nanos / (5 * MS));
}

/**
 * From the first contact of a sentence's last key to the first light of its cue, milliseconds.
 * `rest`: after how many sentences the keying pauses for two and a half seconds.
 */
function waits(board, sentences, gap, rest = Infinity) {
  const found = [];
  const before = board.rom.programs;
  for (let i = 0; i < sentences; i++) {
    for (const key of ['DO', '3']) board.press(key, { down: 60 * MS, up: gap * MS });
    const erases = board.rom.erases;
    const pressed = board.clock.nanos;
    board.press('0', { down: 60 * MS, up: 700 * MS });
    const cue = board.steps.find(({ at, light }) => at > pressed && light !== 'off');
    found.push({ ms: (cue.at - pressed) / MS, erased: board.rom.erases > erases });
    // Vary where the next key falls within the scan and the polling of an idle matrix.
    board.run(((i * 137) % 100) * 0.1 * MS);
    if (i % rest === rest - 1) board.run(2_500 * MS);
  }
  if (found.length && board.rom.programs === before) throw new Error('nothing was stored');
  return found;
}

const span = (list) =>
  list.length === 0
    ? 'none'
    : `${Math.min(...list).toFixed(1)} to ${Math.max(...list).toFixed(1)} ms (${list.length} times)`;

const board = ready(TIMES.typical);
const atRest = idle(board);
say('instructions a second at rest', atRest.toFixed(0));
say('instructions a calliper edge, from the pin to the core', perEdge(board, atRest).toFixed(0));
board.run(3_000 * MS);
say('instructions a key scan, a key held', perScan(board).toFixed(0));
for (const [name, time] of Object.entries(TIMES)) {
  const tired = ready(time);
  const { erases, programs } = tired.rom;
  const all = waits(tired, 180, 190);
  say(`last key to cue, ${name} flash`, span(all.filter((w) => !w.erased).map((w) => w.ms)));
  say(`the same with a page erase between`, span(all.filter((w) => w.erased).map((w) => w.ms)));
  say('erases, programs for those 180 records', `${tired.rom.erases - erases}, ${tired.rom.programs - programs}`);
}
for (const [name, time] of Object.entries(TIMES)) {
  const rested = ready(time);
  const { erases } = rested.rom;
  const all = waits(rested, 180, 190, 20);
  say(`last key to cue, ${name} flash, a look up every 20 records`, span(all.map((w) => w.ms)));
  const waited = all.filter((w) => w.erased).length;
  say('page erases in those 180 records, of which somebody waited for', `${rested.rom.erases - erases}, ${waited}`);
}
const quick = waits(ready(TIMES.typical), 20, 60);
say('last key to cue, keys 125 ms apart', span(quick.map((w) => w.ms)));
