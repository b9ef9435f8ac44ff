'use strict';
// The RP2040 board in virtual time: the unmodified image, its pins and its serial line.
//
//   press, clip --> pins --> [ image on the emulated chip ] --> light, motor, beeper --> heard
//                              |            ^
//                              +--> flash --+  (rom.js)
//
// Nothing here uses the wall clock: 125 MHz, 8 ns per cycle, and a sleeping chip jumps to its next
// alarm. Two runs of one script are identical to the nanosecond.

const { createHash } = require('node:crypto');
const path = require('node:path');
const { RP2040, ConsoleLogger, LogLevel, GPIOPinState } = require('rp2040js');
// Not in the package's index: the clock that only moves when told to.
const { SimulationClock } = require(
  path.join(path.dirname(require.resolve('rp2040js')), 'clock/simulation-clock.js'),
);
const { Rom } = require('./rom.js');

const CYCLE = 8; // nanoseconds
const US = 1e3;
const MS = 1e6;

// As in hardware-notes/boards/rp2040.md.
const PIN = {
  clock: 2, level: 3, request: 4, pedal: 5,
  rows: [6, 7, 8, 9, 10], columns: [11, 12, 13, 14],
  beeper: 16, green: 17, red: 18, motor: 19,
};
const FLASH_BYTES = 2 * 1024 * 1024;
const LOG_AT = FLASH_BYTES - 256 * 1024;
const KEYS = [
  'LF', 'RF', 'FIND', 'UNDO', 'LH', 'RH', 'DO', 'SIZE',
  '1', '2', '3', 'COW', '4', '5', '6', 'SCORE', '7', '8', '9', '0',
];

class Board {
  /** @param flash the log's bytes from before, or null for a chip fresh from the factory */
  constructor(elf, { log = null, time = undefined, cut = null, battery = 4000 } = {}) {
    this.clock = new SimulationClock();
    const mcu = new RP2040(this.clock);
    this.mcu = mcu;
    mcu.logger = new ConsoleLogger(LogLevel.Error, true);
    this.instructions = 0;
    this.pressed = new Set();
    this.steps = []; // { at, light, motor }: what was shown, in order
    this.tones = []; // { at, hz }
    this.sent = [];
    this.resets = 0;
    this.rom = new Rom(mcu, (nanos) => this.clock.tick(nanos), { time, cut });
    this.#load(elf);
    if (log) mcu.flash.set(log, LOG_AT);
    this.#mend();
    this.#wire(battery);
  }

  // Segments go to their load addresses; the vector table follows the second-stage loader, which is
  // left out: there is no serial flash to set up.
  #load(elf) {
    const { mcu } = this;
    const [first, count, size] = [elf.readUInt32LE(28), elf.readUInt16LE(44), elf.readUInt16LE(42)];
    for (let i = 0; i < count; i++) {
      const head = first + i * size;
      const [kind, from, , to, bytes] = [0, 4, 8, 12, 16].map((at) => elf.readUInt32LE(head + at));
      if (kind !== 1 || bytes === 0) continue;
      if (to < 0x1000_0000 || to + bytes > 0x1000_0000 + LOG_AT) {
        throw new Error(`the image has bytes at ${to.toString(16)}, outside its part of the flash`);
      }
      mcu.flash.set(elf.subarray(from, from + bytes), to - 0x1000_0000);
    }
    mcu.core.VTOR = 0x1000_0100;
    mcu.core.SP = mcu.readUint32(0x1000_0100);
    mcu.core.PC = mcu.readUint32(0x1000_0104) & ~1;
  }

  // Four places where the emulated chip differs from the real one.
  #mend() {
    const { mcu } = this;
    // XIP_CTRL is not emulated; the flash driver asks it about background reads. There are none.
    const read = mcu.readUint32.bind(mcu);
    mcu.readUint32 = (at) => (at >>> 24 === 0x14 ? 0 : read(at));
    const uart = mcu.uart[0];
    // The transmit interrupt is asserted for ever; it should follow a byte that was sent.
    uart.checkInterrupts = () => {
      mcu.setInterrupt(uart.irq, !!(uart.interruptStatus & uart.interruptMask));
    };
    // UARTDMACR is not emulated and reads as an error.
    const register = uart.readUint32.bind(uart);
    uart.readUint32 = (at) => (at === 0x48 ? 0 : register(at));
    uart.onByte = (byte) => {
      this.sent.push(byte);
      uart.interruptStatus |= 1 << 5;
      uart.checkInterrupts();
    };
    mcu.peripherals[0x40058].onWatchdogTrigger = () => {
      this.resets += 1;
    };
  }

  #wire(battery) {
    const { mcu } = this;
    mcu.adc.channelValues[0] = Math.round((battery / 6600) * 4096);
    for (const pin of [PIN.clock, PIN.level, PIN.pedal, ...PIN.columns]) {
      mcu.gpio[pin].setInputValue(true);
    }
    for (const pin of PIN.rows) mcu.gpio[pin].addListener(() => this.#matrix());
    for (const pin of [PIN.green, PIN.red, PIN.motor]) {
      mcu.gpio[pin].addListener(() => this.#show());
    }
    let last = -Infinity;
    mcu.gpio[PIN.beeper].addListener((state) => {
      if (state !== GPIOPinState.High) return;
      const period = this.clock.nanos - last;
      if (period < 5 * MS) this.tones.push({ at: last, hz: 1e9 / period });
      last = this.clock.nanos;
    });
  }

  #is(pin, state) {
    return this.mcu.gpio[pin].value === state;
  }

  // A column is low while any of its pressed keys has its row driven low.
  #matrix() {
    PIN.columns.forEach((pin, column) => {
      const low = PIN.rows.some(
        (row, at) => this.pressed.has(at * 4 + column) && this.#is(row, GPIOPinState.Low),
      );
      this.set(pin, !low);
    });
  }

  #show() {
    const [green, red, motor] = [PIN.green, PIN.red, PIN.motor].map((pin) =>
      this.#is(pin, GPIOPinState.High),
    );
    const light = green ? (red ? 'amber' : 'green') : red ? 'red' : 'off';
    // Pins move one after another within a microsecond: the last state counts.
    const before = this.steps.at(-1);
    if (before && this.clock.nanos - before.at < 50 * US) Object.assign(before, { light, motor });
    else this.steps.push({ at: this.clock.nanos, light, motor });
  }

  /** A line moves; setting the emulated pin to its old level again would look like an edge. */
  set(pin, high) {
    if (this.mcu.gpio[pin].rawInputValue !== high) this.mcu.gpio[pin].setInputValue(high);
  }

  /** Runs until this time: a sleeping chip jumps, a running one goes by instructions. */
  runTo(end) {
    const { clock, mcu } = this;
    while (clock.nanos < end) {
      if (mcu.core.waiting) {
        const next = clock.nanosToNextAlarm;
        clock.tick(next > 0 && clock.nanos + next < end ? next : Math.max(end - clock.nanos, CYCLE));
      } else {
        clock.tick(mcu.core.executeInstruction() * CYCLE);
        this.instructions += 1;
      }
    }
  }

  run(nanos) {
    this.runTo(this.clock.nanos + nanos);
  }

  /** Runs until `done`, checked every 50 us; an error after `limit`. */
  runUntil(done, limit, what) {
    const end = this.clock.nanos + limit;
    while (!done()) {
      if (this.clock.nanos >= end) throw new Error(`${what} did not come in ${limit / MS} ms`);
      this.run(50 * US);
    }
  }

  /** One press with contact bounce: closed, open, closed within 3 ms, and the same on release. */
  press(key, { down = 60 * MS, up = 60 * MS } = {}) {
    const at = KEYS.indexOf(key);
    if (at < 0) throw new Error(`there is no key ${key}`);
    const contact = (closed, nanos) => {
      if (closed) this.pressed.add(at);
      else this.pressed.delete(at);
      this.#matrix();
      this.run(nanos);
    };
    contact(true, 0.4 * MS);
    contact(false, 0.9 * MS);
    contact(true, down);
    contact(false, 0.7 * MS);
    contact(true, 0.6 * MS);
    contact(false, up);
  }

  keys(words) {
    for (const word of words.split(' ')) {
      if (KEYS.includes(word)) this.press(word);
      else for (const digit of word) this.press(digit);
    }
  }

  /** Plays pin changes [{ after, clock, level }], `after` in nanoseconds from now. */
  wave(changes) {
    const start = this.clock.nanos;
    for (const { after, clock, level } of changes) {
      this.runTo(start + after);
      this.set(PIN.level, level);
      this.set(PIN.clock, clock);
    }
  }

  pedal(nanos = 40 * MS) {
    this.set(PIN.pedal, false);
    this.run(nanos);
    this.set(PIN.pedal, true);
  }

  /** Bytes from the office at 115,200 baud: 86.8 us each. */
  feed(bytes) {
    for (const byte of bytes) {
      this.mcu.uart[0].feedByte(byte);
      this.run(86.8 * US);
    }
  }

  requested() {
    return this.#is(PIN.request, GPIOPinState.Low);
  }

  /** The log's part of the flash. */
  log() {
    return Buffer.from(this.mcu.flash.subarray(LOG_AT, FLASH_BYTES));
  }

  /** What makes two runs identical. */
  identity() {
    const hash = createHash('sha256').update(this.log()).digest('hex');
    const { instructions, steps } = this;
    return { instructions, nanos: this.clock.nanos, flash: hash, shown: steps.length };
  }
}

module.exports = { Board, PIN, KEYS, US, MS };
