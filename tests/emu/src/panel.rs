//! The handheld's panel: contacts of the matrix, and what is heard, seen and felt.
//!
//! ```text
//! low rows, closed contacts --> low columns
//! motor changes --> one more sound, with the tone and light of that moment
//! ```

use std::sync::{Arc, Condvar, Mutex};
use std::time::Duration;

use hornrule_core::cue::{Light, Signal};

use crate::ear::{self, Sound};
use crate::pins::{COLUMNS, GREEN, MOTOR, RED, REQUEST, ROWS, TAKEN, TONE};
use crate::qtest::{Listener, Qtest};

// The image's timer: its current count, through a channel the image does not use.
const TIMER_CAPTURE2: u32 = 0x4000_8048;
const TIMER_CC2: u32 = 0x4000_8548;
/// How many voice times the image remembers.
const SHOWN: usize = 32;
/// Longest wait for an edge to be taken.
const DEAF: Duration = Duration::from_secs(40);

#[derive(Debug, Default)]
struct Lines {
    levels: u32,
    contacts: u32,
    /// Columns as currently driven, bits; `None` at the start.
    columns: Option<u32>,
    /// Where the image checks which rows the columns answer to, and what it finds there.
    rows_at: u32,
    rows: u32,
    /// Changes of the motor so far: (tone, light) where it started.
    turns: Vec<Option<(u8, Light)>>,
    taken: u64,
    /// How often the request line fell.
    asked: u64,
    /// Scans of the matrix so far.
    scans: u64,
}

impl Lines {
    fn level(&self, pin: u8) -> bool {
        self.levels >> pin & 1 == 1
    }

    fn light(&self) -> Light {
        match (self.level(RED), self.level(GREEN)) {
            (false, false) => Light::Off,
            (false, true) => Light::Green,
            (true, true) => Light::Amber,
            (true, false) => Light::Red,
        }
    }

    /// Drives the columns that differ from what they should be.
    fn answer(&mut self, qtest: &Qtest) {
        let mut low = 0;
        for (row, pin) in ROWS.iter().enumerate() {
            if !self.level(*pin) {
                low |= self.contacts >> (4 * row) & 0xF;
            }
        }
        let changed = self.columns.map_or(0xF, |before| before ^ low);
        for (column, pin) in COLUMNS.iter().enumerate() {
            if changed >> column & 1 == 1 {
                qtest.set_pin(*pin, low >> column & 1 == 0);
            }
        }
        self.columns = Some(low);
        let rows = 0x100 | self.levels & 0x1F;
        if self.rows != rows {
            self.rows = rows;
            qtest.set_word(self.rows_at, rows);
        }
    }
}

type Shared = Arc<(Mutex<Lines>, Condvar)>;

struct Watch {
    lines: Shared,
    qtest: Qtest,
}

impl Listener for Watch {
    fn changed(&mut self, pin: u8, high: bool) {
        let mut lines = self.lines.0.lock().unwrap();
        lines.asked += u64::from(pin == REQUEST && !high);
        lines.scans += u64::from(pin == ROWS[0] && !high);
        lines.levels = lines.levels & !(1 << pin) | u32::from(high) << pin;
        if pin == MOTOR {
            let tone = u8::from(lines.level(TONE[0])) | u8::from(lines.level(TONE[1])) << 1;
            let turn = high.then(|| (tone, lines.light()));
            lines.turns.push(turn);
        }
        lines.taken += u64::from(pin == TAKEN);
        self.lines.1.notify_all();
    }

    fn settled(&mut self) {
        self.lines.0.lock().unwrap().answer(&self.qtest);
    }
}

/// The panel.
#[derive(Debug)]
pub struct Panel {
    lines: Shared,
    qtest: Qtest,
    shown_at: u32,
    sounds: Mutex<Vec<Sound>>,
    /// Changes already turned into sounds.
    told: Mutex<usize>,
}

impl Panel {
    pub(crate) fn new(qtest: Qtest, rows_at: u32, shown_at: u32) -> Self {
        // Rows rest high; nothing is driven before the image runs.
        let lines = Lines { levels: 0x1F, rows_at, ..Lines::default() };
        let lines: Shared = Arc::new((Mutex::new(lines), Condvar::new()));
        qtest.listen(Watch { lines: Arc::clone(&lines), qtest: qtest.clone() });
        lines.0.lock().unwrap().answer(&qtest);
        let (sounds, told) = (Mutex::default(), Mutex::default());
        Self { lines, qtest, shown_at, sounds, told }
    }

    /// Closes and opens contacts; bit = row * 4 + column.
    pub fn contacts(&self, mask: u32) {
        let mut lines = self.lines.0.lock().unwrap();
        lines.contacts = mask;
        lines.answer(&self.qtest);
    }

    /// The image's own clock, microseconds, now or a moment ago; everything the pins did before
    /// then has been seen.
    pub fn clock_us(&self) -> u32 {
        self.qtest.set_word(TIMER_CAPTURE2, 1);
        self.qtest.word(TIMER_CC2)
    }

    /// Complete cues so far, and whether the voice is at rest.
    pub fn heard(&self) -> (Vec<Signal>, bool) {
        let now_us = self.clock_us();
        let turns = self.lines.0.lock().unwrap().turns.clone();
        let mut told = self.told.lock().unwrap();
        let mut sounds = self.sounds.lock().unwrap();
        assert!(turns.len() - *told < SHOWN, "more sounds than the image remembers");
        for (turn, began) in turns.iter().enumerate().skip(*told) {
            let place = u32::try_from(turn % SHOWN).unwrap();
            let word = self.qtest.word(self.shown_at + 4 * place);
            let (at_us, over) = (word & !1, word & 1 == 1);
            match (*began, sounds.last_mut()) {
                (Some((tone, light)), _) => {
                    sounds.push(Sound { tone, light, from_us: at_us, length_us: None, over });
                }
                (None, Some(sound)) => {
                    sound.length_us = Some(at_us.wrapping_sub(sound.from_us));
                    sound.over = over;
                }
                (None, None) => unreachable!("the motor stops before it began"),
            }
        }
        *told = turns.len();
        ear::cues(&sounds, now_us)
    }

    /// How many sounds have begun.
    #[must_use]
    pub fn begun(&self) -> usize {
        self.lines.0.lock().unwrap().turns.iter().flatten().count()
    }

    /// Waits until more than this many sounds have begun; false if none does for `wait`.
    pub fn wait_begun(&self, more_than: usize, wait: Duration) -> bool {
        self.wait(wait, |lines| lines.turns.iter().flatten().count() > more_than)
    }

    /// Waits until the request line is low; false if it does not fall within `wait`.
    pub fn wait_request(&self, wait: Duration) -> bool {
        self.wait(wait, |lines| !lines.level(REQUEST))
    }

    /// How often the request line has fallen.
    #[must_use]
    pub fn asked(&self) -> u64 {
        self.lines.0.lock().unwrap().asked
    }

    /// Waits until the request line has fallen more often; false if it does not within `wait`.
    pub fn wait_asked(&self, more_than: u64, wait: Duration) -> bool {
        self.wait(wait, |lines| lines.asked > more_than)
    }

    /// Scans begun so far.
    #[must_use]
    pub fn scans(&self) -> u64 {
        self.lines.0.lock().unwrap().scans
    }

    /// Waits until this many scans have begun, or the matrix is at rest with all rows low because
    /// no key is down; false if neither happens within `wait`.
    pub fn wait_scans(&self, begun: u64, wait: Duration) -> bool {
        let rests = |lines: &Lines| ROWS.iter().all(|row| !lines.level(*row));
        self.wait(wait, |lines| lines.scans >= begun || rests(lines))
    }

    /// Edges taken so far.
    #[must_use]
    pub fn taken(&self) -> u64 {
        self.lines.0.lock().unwrap().taken
    }

    /// Waits until more than this many edges were taken.
    pub fn wait_taken(&self, more_than: u64) -> bool {
        self.wait(DEAF, |lines| lines.taken > more_than)
    }

    fn wait(&self, wait: Duration, until: impl Fn(&Lines) -> bool) -> bool {
        let lines = self.lines.0.lock().unwrap();
        let (lines, _) = self.lines.1.wait_timeout_while(lines, wait, |at| !until(at)).unwrap();
        until(&lines)
    }
}
