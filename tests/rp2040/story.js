'use strict';
// One short story on the board, and the cues that must be seen and heard in it.

const { MS, US } = require('./board.js');
const { SHAPE, sync24, bcd52, packet } = require('./calliper.js');

// Cues as rhythm and light; lengths in milliseconds as in hornrule_core::cue, written out by hand
// so that a change there shows here. A key's own tick is left out: it carries no promise.
const CUE = {
  ready: 'green 180, green 180',
  committed: 'green 60, green 60',
  undone: 'amber 60, amber 60, amber 180',
  refused: 'red 480',
  lateral: 'green 60',
  clockUnknown: 'amber 60, amber 180, amber 180',
  fault: 'red 480, red 60, red 60',
  flashUnusable: 'red 480, red 480, red 480',
};

/** Cues shown since `from`, each as "light ms, light ms"; key ticks left out. */
function cues(board, from = 0) {
  const said = [];
  let cue = [];
  let dark = -Infinity;
  board.steps.forEach((step, i) => {
    if (step.light === 'off') {
      dark = step.at;
      return;
    }
    if (step.light !== 'off' !== step.motor) throw new Error('light and motor do not go together');
    const next = board.steps[i + 1];
    if (!next || step.at < from) return;
    // Within a cue the dark lasts 80 ms; between two cues 160 ms or more.
    if (step.at - dark > 120 * MS && cue.length) said.push(cue.splice(0));
    cue.push(`${step.light} ${Math.round((next.at - step.at) / MS)}`);
  });
  if (cue.length) said.push(cue);
  return said.map((steps) => steps.join(', ')).filter((steps) => steps !== 'green 25');
}

/** Starts the board and waits until it signals that it is ready. */
function start(board) {
  board.runUntil(() => board.steps.some(({ light }) => light !== 'off'), 40_000 * MS, 'ready');
  board.run(700 * MS);
}

/** Packets as a free-running calliper sends them, one every 126 ms, each with its own jitter. */
function stream(board, bits, shape, count, how = {}) {
  for (let i = 0; i < count; i++) {
    const start = board.clock.nanos;
    board.wave(packet(bits, shape, { ...how, seed: (how.seed ?? 1) + i }));
    board.runTo(Math.max(start + 126 * MS, board.clock.nanos + 60 * MS));
  }
}

/** A 52-bit calliper: each fall of the request line is answered 5 ms later, while it waits. */
function answer(board, bits, how = {}) {
  for (let answers = 0; answers < 2; answers++) {
    board.runUntil(() => board.requested(), 3_000 * MS, 'a request');
    board.run(5 * MS);
    board.wave(packet(bits, SHAPE.bcd52, { ...how, seed: 7 + answers }));
    board.runUntil(() => !board.requested(), 3_000 * MS, 'the end of a request');
  }
}

// Each step is a sentence or a clip, with the cue that says it is in flash (or refused).
const STEPS = [
  { name: 'cow 412', play: (b) => b.keys('COW 412 COW'), cue: CUE.committed, stores: 2 },
  { name: 'sole ulcer, moderate', play: (b) => b.keys('RH FIND 132'), cue: CUE.committed, stores: 1 },
  {
    name: '75.32 mm from a 24-bit calliper',
    play(b) {
      b.pedal();
      stream(b, sync24(7532), SHAPE.sync24Slow, 2, { jitter: 10 });
    },
    cue: CUE.committed,
    stores: 1,
  },
  {
    name: '-0.99 mm, quick shape, stored and told as too short',
    play(b) {
      b.pedal();
      stream(b, sync24(99, { negative: true }), SHAPE.sync24Quick, 2, { jitter: 8, seed: 40 });
    },
    cue: 'red 60, red 480',
    stores: 1,
  },
  {
    name: '3.0080 in from a 52-bit calliper',
    play(b) {
      b.pedal();
      answer(b, bcd52(30080, 4, { inch: true }), { jitter: 10 });
    },
    cue: CUE.committed,
    stores: 1,
  },
  { name: 'block glued', play: (b) => b.keys('DO 10'), cue: CUE.committed, stores: 1 },
  { name: 'UNDO', play: (b) => b.keys('UNDO'), cue: CUE.undone, stores: 1 },
  { name: 'no such lesion', play: (b) => b.keys('FIND 77'), cue: CUE.refused, stores: 0 },
  { name: 'the cow leaves', play: (b) => b.keys('COW COW'), cue: CUE.committed, stores: 1 },
];

/** Plays the story; `after` is called with each step's cues. */
function tell(board, after = () => {}) {
  for (const step of STEPS) {
    const from = board.clock.nanos;
    step.play(board);
    board.run(1_700 * MS);
    after(step, cues(board, from));
  }
}

module.exports = { CUE, STEPS, cues, start, stream, answer, tell, US };
