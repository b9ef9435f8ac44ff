//! Two invented farms, and how a story gets into their database.

use hornrule_facts::{AnimalId, Day, HerdId, KeptPlan, ListedAnimal};
use hornrule_herd::inbox::{PullId, PullStart};
use hornrule_herd::{Database, DatabaseError};
use hornrule_intake::{Intake, rebuild_rows, recheck_rows, run};
use hornrule_kit::{DEVICE, LOG, Story};
use hornrule_protocol::{DeviceId, Iso11784, Seq};

/// A pull by an office whose clock was never set, so that it says nothing of the day.
pub fn begin(database: &mut Database) -> PullId {
    begin_at(database, DEVICE, 0)
}

/// A pull of a handheld that begins at a time, UTC milliseconds.
pub fn begin_at(database: &mut Database, device: DeviceId, started_ms: i64) -> PullId {
    let (firmware, source) = ([0, 1, 0], "test".to_owned());
    database.begin_pull(&PullStart { device, log: LOG, firmware, source, started_ms }).unwrap()
}

/// Stores a whole story and brings it in.
pub fn take_in(database: &mut Database, story: &Story) -> Intake {
    let pull = begin_at(database, story.device(), 0);
    database.store(pull, &story.batch()).unwrap();
    run(database, story.device(), LOG, Seq::FIRST).unwrap()
}

/// A farm's herd list, from lines of `number,tag,name,born` with a heading; the last columns may be
/// missing. Cows that are in it no more are kept as cows that left.
pub fn import(database: &mut Database, name: &str, farm: u8, list: &str) -> HerdId {
    let listed: Vec<ListedAnimal> =
        list.lines().skip(1).filter(|line| !line.is_empty()).map(listed).collect();
    let done: Result<HerdId, DatabaseError> = database.write(|rows| {
        let there = rows.herds()?.into_iter().find(|herd| herd.name == name);
        let herd = match there {
            Some(there) => there.herd,
            None => rows.insert_herd(name, Some(farm), "Europe/Berlin")?,
        };
        let mut all = listed;
        for mut gone in rows.animals(herd)? {
            if !all.iter().any(|one| one.animal == gone.animal) {
                gone.in_herd = false;
                all.push(gone);
            }
        }
        all.sort_by_key(|one| one.animal);
        rows.write_animals(herd, &all)?;
        rebuild_rows(rows)?;
        recheck_rows(rows, herd)?;
        Ok(herd)
    });
    done.unwrap()
}

fn listed(line: &str) -> ListedAnimal {
    let cells: Vec<&str> = line.split(',').collect();
    let cell = |at: usize| cells.get(at).copied().filter(|cell| !cell.is_empty());
    let tag = cell(1).map(|tag| Iso11784::from_decimal(tag.parse().unwrap()).unwrap());
    ListedAnimal {
        tag,
        name: cell(2).map(str::to_owned),
        born: cell(3).map(|born| Day::from_date(born.parse().unwrap())),
        ..ListedAnimal::numbered(AnimalId(cells[0].parse().unwrap()))
    }
}

/// Keeps a plan as if it had been made and loaded: its number, which is its name, day and farms by key.
pub fn keep_plan(database: &mut Database, number: u32, day: Day, farms: &[(u8, HerdId)]) {
    let plan = KeptPlan { number, name: number, day, farms: farms.to_vec() };
    let done: Result<(), DatabaseError> = database.write(|rows| rows.insert_plan(&plan, 0, &[]));
    done.unwrap();
}

/// Two invented farms: 1 with a herd list, 2 without.
pub fn two_farms() -> (Database, HerdId) {
    let mut database = Database::in_memory().unwrap();
    let list = "number,tag,name,born\n312,276000312312345,Berta,2021-04-17\n313,,Frieda,\n351,,,\n";
    let first = import(&mut database, "Lindenhof", 1, list);
    import(&mut database, "Birkenhof", 2, "number\n");
    (database, first)
}
