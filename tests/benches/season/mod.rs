//! Farms with their lists and visits, written straight into the herd tables.
//!
//! ```text
//! 40 farms x 125 visits x 65 cows x 31 observations, 8 claws trimmed each
//! ```

use std::path::Path;

use hornrule_exchange::{Target, import_herd};
use hornrule_herd::Database;
use rusqlite::{Connection, Statement, params_from_iter};

/// Farms.
const FARMS: i64 = 40;
/// Cows of each.
pub(crate) const COWS: i64 = 65;
/// Days between one visit of a farm and the next.
pub(crate) const APART: i64 = 30;
/// The first visit, days since 1970-01-01.
const FIRST_DAY: i64 = 18_000;
/// Code table lesions used by the findings in turn; 0 is "sound".
const LESIONS: [i64; 6] = [0, 13, 12, 0, 21, 0];

/// Farms with their lists, and their visits written straight into the herd tables.
pub(crate) fn filled(path: &Path, visits: i64) -> i64 {
    let mut herd = Database::open(path).unwrap();
    let numbers: Vec<String> = (1..=COWS).map(|cow| cow.to_string()).collect();
    let list = format!("number\n{}\n", numbers.join("\n"));
    for farm in 1..=FARMS {
        let target = Target { name: format!("Farm {farm}"), farm: None, zone: "UTC".to_owned() };
        import_herd(&mut herd, &target, list.as_bytes()).unwrap();
    }
    drop(herd);
    let mut conn = Connection::open(path).unwrap();
    let herds = herds(&conn);
    conn.pragma_update(None, "synchronous", "OFF").unwrap();
    let tx = conn.transaction().unwrap();
    let mut observations = 0;
    {
        let mut into = Tables::of(&tx);
        for herd in herds {
            let mut seq = 0;
            for visit in 0..visits {
                for cow in 1..=COWS {
                    observations += into.cow(herd, FIRST_DAY + visit * APART, cow, &mut seq);
                }
            }
        }
    }
    tx.commit().unwrap();
    conn.execute_batch("ANALYZE").unwrap();
    observations
}

/// The numbers of the herds.
pub(crate) fn herds(conn: &Connection) -> Vec<i64> {
    let mut query = conn.prepare("SELECT herd FROM herd ORDER BY herd").unwrap();
    query.query_map([], |row| row.get(0)).unwrap().collect::<Result<_, _>>().unwrap()
}

/// Up to 2 mm either way, nm: the fractional part of a multiple of the golden ratio.
const fn noise(seq: i64) -> i64 {
    seq.wrapping_mul(0x9E37_79B9_7F4A_7C15_u64.cast_signed()).rem_euclid(4_000_001) - 2_000_000
}

struct Tables<'a> {
    presence: Statement<'a>,
    reading: Statement<'a>,
    finding: Statement<'a>,
    action: Statement<'a>,
    score: Statement<'a>,
}

impl<'a> Tables<'a> {
    fn of(conn: &'a Connection) -> Self {
        let into = |table: &str, columns: usize| {
            let marks: Vec<String> = (1..=columns).map(|place| format!("${place}")).collect();
            conn.prepare(&format!("INSERT INTO {table} VALUES ({})", marks.join(", "))).unwrap()
        };
        Self {
            presence: into("presence", 11),
            reading: into("reading", 19),
            finding: into("finding", 16),
            action: into("action", 15),
            score: into("score", 15),
        }
    }

    /// One cow's stay: 16 walls, 4 findings, 8 claws trimmed, a block on and off, a score, and the
    /// stay itself; returns how many rows that was.
    fn cow(&mut self, herd: i64, day: i64, cow: i64, seq: &mut i64) -> i64 {
        let stay = *seq + 1;
        let mut rows = 0;
        let mut row = |table: &mut Statement<'_>, more: &[i64]| {
            *seq += 1;
            rows += 1;
            let at_ms = day * 86_400_000 + *seq;
            let (device, log, boot, uncertainty, clock) = (7, 9, 1, 2_000, 0);
            let all = [herd, device, log, *seq, boot, at_ms, day, uncertainty, clock, cow];
            table.execute(params_from_iter(all.iter().chain(more))).unwrap();
        };
        // The stay has its end where the others have their day, and nothing else.
        let at_ms = day * 86_400_000 + stay;
        self.presence
            .execute((herd, 7, 9, stay, 1, at_ms, at_ms + 300_000, day, 2_000, 0, cow))
            .unwrap();
        row(&mut self.score, &[stay, 0, 0, 1, 1 + (cow + day) % 5]);
        for foot in 0..4 {
            let lesion = LESIONS[((cow + day / APART + foot) % 6) as usize];
            row(&mut self.finding, &[stay, foot, 1, lesion, i64::from(lesion != 0), 4]);
            for side in 1..=2 {
                let claw = stay * 8 + foot * 2 + side;
                let wall = 80_000_000 + cow * 10_000 + noise(claw);
                row(&mut self.reading, &[stay, foot, side, 1, wall, 0, 0, 0, 1]);
                row(&mut self.action, &[stay, foot, side, 30, 0]);
                // One foot is measured twice before; the others before and after.
                let (again, after) =
                    if foot == 3 { (noise(claw + 7) / 20, 0) } else { (-5_000_000, 1) };
                row(&mut self.reading, &[stay, foot, side, 1, wall + again, 0, 0, after, 1]);
            }
        }
        // Glued at one visit; on, off or lost at the next.
        let block = if (day / APART) % 2 == 0 { 10 + cow % 3 } else { 40 + (cow + day) % 3 };
        row(&mut self.action, &[stay, 2, 2, block, 0]);
        rows + 1
    }
}
