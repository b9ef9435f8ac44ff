'use strict';
// A boot ROM of our own for the emulated chip: the function table that the driver looks up, and the
// flash functions as breakpoints.
//
//   image --looks up "RE", "RP"--> address --BKPT n--> Rom.call(n) --> bytes of the flash
//
// This is the one place where flash changes, so it is where power is cut and writes are torn. The
// table's addresses are those of the chip's datasheet (from memory; the stock driver, written for
// the real ROM, finds its functions there).

const FUNCTIONS = {
  IF: 10, // connect_internal_flash
  EX: 11, // flash_exit_xip
  RE: 12, // flash_range_erase
  RP: 13, // flash_range_program
  FC: 14, // flash_flush_cache
  CX: 15, // flash_enter_cmd_xip
  MC: 16, // memcpy
  C4: 16, // memcpy44
  MS: 17, // memset
  S4: 17, // memset4
};
const LOOKUP = 1;

/**
 * How long flash operations take, nanoseconds: typical values of a 2 MiB serial flash, from memory.
 */
const TYPICAL = { erase: 45e6, program: 0.7e6 };

/** Thrown in the middle of a flash operation: the power is gone. */
class PowerCut extends Error {}

class Rom {
  /**
   * @param mcu the chip
   * @param spend called with the nanoseconds an operation takes
   * @param time { erase, program } in nanoseconds: a 4 KiB sector, a 256-byte page
   * @param cut { at, share }: operation number `at` completes `share` of its bytes
   */
  constructor(mcu, spend, { time = TYPICAL, cut = null } = {}) {
    this.mcu = mcu;
    this.spend = spend;
    this.time = time;
    this.cut = cut;
    this.erases = 0;
    this.programs = 0;
    this.found = {};
    mcu.bootrom.set(this.#table());
    mcu.onBreak = (code) => this.#call(code);
  }

  get operations() {
    return this.erases + this.programs;
  }

  #table() {
    const bytes = new DataView(new ArrayBuffer(16 * 1024));
    let at = 0x100;
    const define = (code) => {
      bytes.setUint16(at, 0xbe00 | code, true); // BKPT code
      bytes.setUint16(at + 2, 0x4770, true); // BX LR
      at += 4;
      return (at - 4) | 1;
    };
    const lookup = define(LOOKUP);
    for (const [name, code] of Object.entries(FUNCTIONS)) {
      this.found[name.charCodeAt(0) | (name.charCodeAt(1) << 8)] = define(code);
    }
    bytes.setUint32(0x10, 0x02_01_75_4d, true); // "Mu", 1, version 2
    bytes.setUint16(0x14, 0x200, true);
    bytes.setUint16(0x16, 0x280, true);
    bytes.setUint16(0x18, lookup, true);
    return new Uint32Array(bytes.buffer);
  }

  #call(code) {
    const { mcu } = this;
    const r = mcu.core.registers;
    switch (code) {
      case LOOKUP: {
        const place = this.found[r[1] & 0xffff];
        if (!place) throw new Error(`the boot ROM has no function ${(r[1] & 0xffff).toString(16)}`);
        r[0] = place;
        return;
      }
      case FUNCTIONS.RE:
        this.erases += 1;
        return this.#change(r[0], r[1], () => 0xff, this.time.erase * (r[1] / 4096));
      case FUNCTIONS.RP: {
        this.programs += 1;
        const [to, from, count] = [r[0], r[1], r[2]];
        // Programming only clears bits; what the caller pads with ff stays as it is.
        const byte = (i) => mcu.flash[to + i] & mcu.readUint8(from + i);
        return this.#change(to, count, byte, this.time.program * (count / 256));
      }
      case FUNCTIONS.MC: {
        for (let i = 0; i < r[2]; i++) mcu.writeUint8(r[0] + i, mcu.readUint8(r[1] + i));
        return;
      }
      case FUNCTIONS.MS: {
        for (let i = 0; i < r[2]; i++) mcu.writeUint8(r[0] + i, r[1] & 0xff);
        return;
      }
      case FUNCTIONS.IF:
      case FUNCTIONS.EX:
      case FUNCTIONS.FC:
      case FUNCTIONS.CX:
        return;
      default:
        throw new Error(`the image stopped at breakpoint ${code}`);
    }
  }

  #change(to, count, byte, nanos) {
    const { flash } = this.mcu;
    const cut = this.cut && this.operations === this.cut.at;
    // Only of what would change: a program pads with ff, and a share of padding tears nothing.
    const places = [];
    for (let i = 0; i < count; i++) if (flash[to + i] !== byte(i)) places.push(i);
    const done = cut ? Math.floor(places.length * this.cut.share) : places.length;
    for (const i of places.slice(0, done)) flash[to + i] = byte(i);
    // The byte during which power fails: some of its bits are done, here the lower half.
    if (cut && done < places.length && this.cut.share > 0) {
      const at = to + places[done];
      const want = byte(places[done]);
      flash[at] = (want & 0x0f) | (flash[at] & 0xf0);
    }
    if (cut) throw new PowerCut();
    this.spend(nanos);
  }
}

module.exports = { Rom, PowerCut, TYPICAL };
