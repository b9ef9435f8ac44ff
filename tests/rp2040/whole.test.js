'use strict';
// The unmodified image, played through a story. Run by firmware/board-rp2040/emulate, which builds
// the image and afterwards reads the resulting flash with the project's own log.

const assert = require('node:assert/strict');
const fs = require('node:fs');
const path = require('node:path');
const test = require('node:test');
const { Board, MS, US } = require('./board.js');
const { SHAPE, sync24, bcd52, packet } = require('./calliper.js');
const { PowerCut } = require('./rom.js');
const { CUE, STEPS, cues, start, stream, answer, tell } = require('./story.js');

const elf = fs.readFileSync(process.env.HORNRULE_RP2040_IMAGE);
const out = process.env.HORNRULE_RP2040_OUT;
const keep = (name, bytes) => fs.writeFileSync(path.join(out, name), bytes);

/** A board that has formatted its flash and was switched off. */
const formatted = (() => {
  const board = new Board(elf);
  start(board);
  assert.deepEqual(cues(board), [CUE.ready]);
  assert.equal(board.rom.erases, 64, 'a first format erases each page once');
  return board.log();
})();

test('a story: every sentence and clip is answered by its cue', () => {
  const board = new Board(elf, { log: formatted });
  start(board);
  tell(board, (step, said) => {
    const promised = said.filter((cue) => cue !== CUE.lateral && cue !== CUE.clockUnknown);
    assert.deepEqual(promised, [step.cue], step.name);
  });
  assert.equal(board.resets, 0, 'the watchdog was fed');
  for (const { hz } of board.tones) {
    assert.ok([1480, 1175, 830].some((tone) => Math.abs(hz - tone) < tone * 0.01), `${hz} Hz`);
  }
  keep('story.bin', board.log());
});

test('played again it is the same run', () => {
  const [one, two] = [0, 1].map(() => {
    const board = new Board(elf, { log: formatted });
    start(board);
    tell(board);
    return board.identity();
  });
  assert.deepEqual(one, two);
});

// Published clock periods are 300 us and up; half and twice those speeds are still read.
const SHAPES = [
  ['24-bit quick', SHAPE.sync24Quick, [0.5, 0.8, 1, 1.25], 8],
  ['24-bit slow', SHAPE.sync24Slow, [0.5, 0.8, 1, 1.5, 2], 12],
];

test('24-bit waveforms at several bit rates with jitter are read every time', () => {
  for (const [name, shape, speeds, jitter] of SHAPES) {
    const board = new Board(elf, { log: formatted });
    start(board);
    board.keys('COW 1 COW LF');
    board.run(1_500 * MS);
    for (const speed of speeds) {
      for (const seed of [1, 20]) {
        const from = board.clock.nanos;
        board.pedal();
        stream(board, sync24(7532), shape, 2, { speed, jitter, seed });
        board.run(600 * MS);
        assert.deepEqual(cues(board, from), [CUE.committed], `${name}, ${speed} times, ${seed}`);
      }
    }
    keep(`waves-${name.replaceAll(' ', '-')}.bin`, board.log());
  }
});

test('52-bit waveforms at several bit rates with jitter are read every time', () => {
  const board = new Board(elf, { log: formatted });
  start(board);
  board.keys('COW 1 COW LF');
  board.run(1_500 * MS);
  for (const speed of [0.5, 1, 1.5, 2]) {
    const from = board.clock.nanos;
    board.pedal();
    answer(board, bcd52(7532, 2), { speed, jitter: 10 });
    board.run(600 * MS);
    assert.deepEqual(cues(board, from), [CUE.committed], `${speed} times`);
  }
  keep('waves-52-bit.bin', board.log());
});

test('waveforms that no known calliper sends become a fault and not a length', () => {
  const board = new Board(elf, { log: formatted });
  start(board);
  board.keys('COW 1 COW LF');
  board.run(1_500 * MS);
  const spoiled = [
    ['twenty times too quick', (b) => stream(b, sync24(7532), SHAPE.sync24Slow, 20, { speed: 20 })],
    ['23 bits', (b) => stream(b, sync24(7532).slice(1), SHAPE.sync24Slow, 20)],
    ['never the same twice', (b) => {
      for (let i = 0; i < 20; i++) stream(b, sync24(7000 + 100 * i), SHAPE.sync24Slow, 1);
    }],
    ['silence', (b) => b.run(2_500 * MS)],
  ];
  for (const [name, play] of spoiled) {
    const from = board.clock.nanos;
    board.pedal();
    play(board);
    board.run(3_000 * MS);
    assert.deepEqual(cues(board, from), [CUE.fault], name);
  }
  keep('faults.bin', board.log());
});

/** A frame as in protocol/SPEC.md: CRC-32 at the end, COBS over all of it, zeros around it. */
function frame(plain) {
  const check = Buffer.alloc(4);
  check.writeUInt32LE(crc32(plain));
  const coded = [];
  let run = [];
  for (const byte of [...plain, ...check, 0]) {
    if (byte !== 0) run.push(byte);
    else coded.push(run.length + 1, ...run.splice(0));
  }
  return [0, ...coded, 0];
}

function crc32(bytes) {
  let crc = ~0;
  for (const byte of bytes) {
    crc ^= byte;
    for (let bit = 0; bit < 8; bit++) crc = crc & 1 ? (crc >>> 1) ^ 0xedb88320 : crc >>> 1;
  }
  return ~crc >>> 0;
}

test('the office says hello over the line and is answered', () => {
  const board = new Board(elf, { log: formatted });
  start(board);
  assert.equal(board.sent.length, 0, 'nothing is sent unasked');
  board.feed(frame([1, 0x51, 0x34, 0x12, 0])); // version, request, id 1234, tag of Hello
  board.run(50 * MS);
  keep('hello.sent', Buffer.from(board.sent));
  assert.ok(board.sent.length > 10);
});

/** Plays the story's sentences by key until power fails; returns what was promised before that. */
function playUntilCut(log, cut) {
  const board = new Board(elf, { log, cut });
  let promised = 0;
  try {
    start(board);
    for (const step of STEPS.filter(({ play }) => String(play).includes('.keys('))) {
      const from = board.clock.nanos;
      try {
        step.play(board);
        board.run(1_500 * MS);
      } finally {
        if (cues(board, from).includes(step.cue)) promised += step.stores;
      }
    }
    return { board, promised, ended: true };
  } catch (error) {
    if (!(error instanceof PowerCut)) throw error;
    return { board, promised, ended: false };
  }
}

/** The next morning: the board starts on what the cut left, and takes a cow. */
function goOn(log) {
  const board = new Board(elf, { log });
  start(board);
  const from = board.clock.nanos;
  board.keys('COW 7 COW');
  board.run(1_500 * MS);
  assert.ok(cues(board, from).includes(CUE.committed), 'a cow after the cut is stored');
  return board.log();
}

test('power cut at every flash operation of a story: what was promised is there', () => {
  const whole = playUntilCut(formatted, null);
  assert.ok(whole.ended);
  keep('cut-none.bin', whole.board.log());
  const operations = whole.board.rom.operations;
  assert.ok(operations >= 12, 'six records, two programs each');
  for (let at = 1; at <= operations; at++) {
    for (const share of [0, 0.5, 1]) {
      const { board, promised, ended } = playUntilCut(formatted, { at, share });
      assert.ok(!ended, `operation ${at}`);
      const name = `cut-${String(at).padStart(2, '0')}-${share * 100}-${promised}`;
      keep(`${name}.bin`, board.log());
      keep(`${name}.after`, goOn(board.log()));
    }
  }
});

test('power cut in a first format: the next start finishes it', () => {
  for (const at of [1, 2, 3, 4, 20, 64, 66, 67, 68]) {
    for (const share of [0, 0.5, 1]) {
      const board = new Board(elf, { cut: { at, share } });
      assert.throws(() => start(board), PowerCut, `operation ${at}`);
      keep(`format-${at}-${share * 100}.after`, goOn(board.log()));
    }
  }
});
