//! Every verb of the command line, and what it does to the office's computer.
//!
//! The table must cover the command tree: a verb that stands in none of its rows fails a test, so
//! that a new one cannot be forgotten.

use std::collections::BTreeSet;

use clap::Command;

/// What a verb does.
pub(crate) enum Does {
    /// Reads: with these words it changes nothing and leaves no file.
    Reads(&'static [&'static str]),
    /// Changes the database, and may write files too. Killed by these cases.
    Changes(&'static [Case]),
    /// Writes files. Killed by these cases.
    Writes(&'static [Case]),
    /// Killed by a test of its own, or not at all: says where, or why.
    Elsewhere(&'static str),
}

/// What a verb begins with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum State {
    /// Alder Brook, two visits, nothing held.
    Days,
    /// The same with a bill issued, and one of its entries discarded since.
    Billed,
    /// The same with the bill noted as paid.
    Paid,
    /// `Days` with a second farm, where nobody has been.
    TwoFarms,
    /// Half a day, and records of another handheld under the same name, kept aside.
    Aside,
    /// A herd list and nothing pulled.
    Listed,
    /// `Days` with ways of gluing drawn for its cows.
    Drawn,
    /// Two farms over ten months.
    Season,
    /// `Days` without any finding: a rebuild brings them back.
    Stale,
    /// Of version 0.1.0: the first verb migrates it.
    Old,
}

/// What the same words do when they are said again.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Again {
    /// Nothing more.
    Same,
    /// They are refused, and change nothing.
    Refused,
    /// They put a further entry on record, as they are meant to.
    Further,
}

/// Words to be killed at.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Case {
    /// Split at blanks; `~` stands for a blank in a word, PORT for where a handheld answers, SESSION
    /// for a recorded pull, LOG for the log that is kept aside.
    pub(crate) words: &'static str,
    pub(crate) state: State,
    /// Files they write.
    pub(crate) files: &'static [&'static str],
    pub(crate) again: Again,
    /// Several transactions: a state between before and after is right too.
    pub(crate) steps: bool,
}

const fn case(words: &'static str) -> Case {
    Case { words, state: State::Days, files: &[], again: Again::Same, steps: false }
}

impl Case {
    const fn on(self, state: State) -> Self {
        Self { state, ..self }
    }

    const fn files(self, files: &'static [&'static str]) -> Self {
        Self { files, ..self }
    }

    const fn again(self, again: Again) -> Self {
        Self { again, ..self }
    }

    const fn in_steps(self) -> Self {
        Self { steps: true, ..self }
    }
}

use Again::{Further, Refused};
use Does::{Changes, Elsewhere, Reads, Writes};
use State::{Aside, Billed, Drawn, Listed, Old, Paid, Season, Stale, TwoFarms};

/// Every verb. `--who` and `--why` are said by all that sign.
pub(crate) const VERBS: &[(&str, Does)] = &[
    ("ports", Reads(&["ports"])),
    ("clock", Elsewhere("changes the handheld's clock and nothing here")),
    ("aside", Reads(&["aside"])),
    (
        "aside take",
        Changes(&[case("aside take LOG --who Anna --why second~chute").on(Aside).again(Further)]),
    ),
    (
        "aside leave",
        Changes(&[case("aside leave LOG --who Anna --why rehearsal").on(Aside).again(Further)]),
    ),
    (
        "evening",
        Changes(&[case("evening --port SESSION --no-pdf --out out")
            .on(Listed)
            .files(&["out/alder-brook/visit.html", "out/alder-brook/bill.html", "out/due.csv"])
            .in_steps()]),
    ),
    ("plan", Changes(&[case("plan --port PORT").again(Further).in_steps()])),
    (
        "trial",
        Changes(&[
            case("trial 1 wood,~sanded"),
            case("trial 1 --from 2026-03-01 --material ply --height 22 --who Anna").again(Further),
        ]),
    ),
    (
        "trial draw",
        Changes(&[
            case("trial draw --ways 1,2 --seed dice --who Anna --why sanding").again(Refused),
            case("trial draw --show --open --who Anna --why curious").on(Drawn).again(Further),
        ]),
    ),
    (
        "trial close",
        Changes(&[case("trial close --who Anna --why enough").on(Drawn).again(Refused)]),
    ),
    ("trial check", Reads(&["trial check"])),
    ("pull", Changes(&[case("pull --port SESSION").on(Listed).in_steps()])),
    ("status", Reads(&["status --no-handheld"])),
    (
        "herd import",
        Changes(&[case("herd import cows.csv --herd Alder~Brook --yes --since 2026-03-10")]),
    ),
    ("herd set", Changes(&[case("herd set --language de --paper letter --target 76")])),
    (
        "herd mark",
        Changes(&[case("herd mark 27 --do-not-trim --who Anna --why calves").again(Further)]),
    ),
    ("herd show", Reads(&["herd show"])),
    ("herd list", Reads(&["herd list"])),
    ("gauge", Changes(&[case("gauge 80.00").in_steps()])),
    (
        "report visit",
        Writes(&[case("report visit --html v.html --csv v.csv").files(&["v.html", "v.csv"])]),
    ),
    (
        "report office",
        Writes(&[case("report office --html o.html --csv o.csv").files(&["o.html", "o.csv"])]),
    ),
    (
        "report vet",
        Writes(&[case("report vet --html v.html --csv v.csv").files(&["v.html", "v.csv"])]),
    ),
    (
        "report farm",
        Writes(&[case("report farm --html f.html --csv f.csv").files(&["f.html", "f.csv"])]),
    ),
    ("blocks", Reads(&["blocks"])),
    ("healing", Reads(&["healing"])),
    ("growth", Reads(&["growth"])),
    ("agreement", Reads(&["agreement"])),
    ("plot blocks", Writes(&[case("plot blocks --svg p.svg").on(Season).files(&["p.svg"])])),
    ("plot healing", Writes(&[case("plot healing --svg p.svg").on(Season).files(&["p.svg"])])),
    ("plot growth", Writes(&[case("plot growth --svg p.svg").on(Season).files(&["p.svg"])])),
    ("plot agreement", Writes(&[case("plot agreement --svg p.svg").on(Season).files(&["p.svg"])])),
    ("plot gauge", Writes(&[case("plot gauge --svg p.svg").files(&["p.svg"])])),
    (
        "due",
        Writes(&[
            case("due --html d.html --csv d.csv --ics d.ics").files(&["d.html", "d.csv", "d.ics"])
        ]),
    ),
    (
        "due done",
        Changes(&[case("due done 188 --duty vet --at LH --who Anna --why seen").again(Refused)]),
    ),
    (
        "bill draft",
        Writes(&[case("bill draft --html b.html --csv b.csv").files(&["b.html", "b.csv"])]),
    ),
    (
        "bill issue",
        Changes(&[case("bill issue --who Anna --html b.html").files(&["b.html"]).again(Refused)]),
    ),
    (
        "bill credit",
        Changes(&[case("bill credit 2026-0001 --who Anna --why slip --html c.html")
            .on(Billed)
            .files(&["c.html"])
            .again(Refused)]),
    ),
    ("bill paid", Changes(&[case("bill paid 2026-0001 --who Anna").on(Billed).again(Refused)])),
    (
        "bill take-back",
        Changes(&[case("bill take-back 1 --who Anna --why slip").on(Paid).again(Refused)]),
    ),
    ("bill payments", Reads(&["bill payments"])),
    (
        "bill reminders",
        Writes(&[case("bill reminders --html r.html").on(Billed).files(&["r.html"])]),
    ),
    ("bill list", Reads(&["bill list"])),
    (
        "bill show",
        Writes(&[case("bill show 2026-0001 --html b.html").on(Billed).files(&["b.html"])]),
    ),
    (
        "export ade",
        Writes(&[case("export ade --herd Alder~Brook --out a.json")
            .files(&["a.json", "a.hornrule.json"])]),
    ),
    ("export xlsx", Writes(&[case("export xlsx --out a.xlsx").files(&["a.xlsx"])])),
    ("import ade", Changes(&[case("import ade animals.json --herd Alder~Brook --yes")])),
    ("study new", Writes(&[case("study new new.toml").files(&["new.toml"]).again(Refused)])),
    ("study check", Reads(&["study check wall.toml"])),
    ("study sample", Writes(&[case("study sample wall.toml --out s.csv").files(&["s.csv"])])),
    (
        "study export",
        Writes(&[case("study export wall.toml --out wall").files(&[
            "wall/readings.csv",
            "wall/readings.parquet",
            "wall/datapackage.json",
        ])]),
    ),
    ("cow", Writes(&[case("cow 27 --html c.html --csv c.csv").files(&["c.html", "c.csv"])])),
    ("review list", Reads(&["review list", "review list --decided"])),
    ("review show", Reads(&["review show 41"])),
    (
        "review visit",
        Changes(&[case("review visit 41 --farm Neuhof --who Anna --why slip")
            .on(TwoFarms)
            .again(Further)]),
    ),
    (
        "review decide",
        Changes(&[
            case("review decide 163 --cow 219 --who Anna --why slip").again(Further),
            case("review decide --flagged --accept --who Anna --why seen").again(Further),
        ]),
    ),
    (
        "review take-back",
        Changes(&[case("review take-back 2 --who Anna --why slip").again(Refused)]),
    ),
    ("rules", Reads(&["rules"])),
    (
        "rebuild",
        Changes(&[
            case("rebuild").on(Stale),
            case("rebuild").on(Old).in_steps(),
            // Other limits of rules: any verb puts them in force first.
            case("rebuild --config other.toml").in_steps(),
        ]),
    ),
    ("doctor", Reads(&["doctor --no-handheld"])),
    ("backup", Writes(&[case("backup copy.db --force").files(&["copy.db"])])),
    ("restore", Changes(&[case("restore backup.db --force")])),
    ("demo", Elsewhere("`killed_demo`")),
    ("handheld", Elsewhere("`killed_handheld`")),
    ("calliper", Elsewhere("asks the handheld and touches nothing here")),
    (
        "calliper prove",
        Elsewhere("stores on the handheld, whose tests cut every operation of its flash"),
    ),
    (
        "practise",
        Writes(&[case(
            "practise --lesson findings --count 1 --seed 1 --keys RH~RH~FIND~64 --log practice.csv",
        )
        .files(&["practice.csv"])
        .again(Further)]),
    ),
    ("card", Writes(&[case("card --html c.html --csv c.csv").files(&["c.html", "c.csv"])])),
    ("cues", Writes(&[case("cues --wav cues").files(&["cues/look-out-44-battery-low.wav"])])),
    ("completions", Reads(&["completions bash"])),
    ("licences", Reads(&["licences"])),
];

/// Every path in the tree that does something when it is said.
fn paths(above: &str, command: &Command, all: &mut BTreeSet<String>) {
    for verb in command.get_subcommands().filter(|verb| verb.get_name() != "help") {
        let path = format!("{above} {}", verb.get_name()).trim().to_owned();
        if !verb.is_subcommand_required_set() {
            all.insert(path.clone());
        }
        paths(&path, verb, all);
    }
}

#[test]
fn every_verb_of_the_tree_stands_in_the_table() {
    let mut tree = BTreeSet::new();
    paths("", &hornrule::cli::tree(), &mut tree);
    let table: BTreeSet<String> = VERBS.iter().map(|(path, _)| (*path).to_owned()).collect();
    assert_eq!(VERBS.len(), table.len(), "a verb stands twice");
    let missing: Vec<_> = tree.difference(&table).collect();
    assert!(
        missing.is_empty(),
        "say in verbs.rs whether these write, and how to kill them: {missing:?}"
    );
    for (verb, does) in VERBS {
        if let Does::Elsewhere(why) = does {
            eprintln!("{verb}: {why}");
        }
    }
    let gone: Vec<_> = table.difference(&tree).collect();
    assert!(gone.is_empty(), "no verbs any more: {gone:?}");
}
