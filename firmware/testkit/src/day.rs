//! The day of 80 cows of `firmware/core/SENTENCES.md`, read off its tables: what each kind of cow
//! costs in presses, and the day as a story.

/// The page.
pub const PAGE: &str = include_str!("../../core/SENTENCES.md");

/// In which words a day is keyed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Words {
    /// Those that every handheld since 0.1.0 knows.
    Long,
    /// The sentences for a foot, for all feet, and the bundles.
    Short,
    /// The same without bundles: their parts one by one.
    WithoutBundles,
}

impl Words {
    /// Those that the page counts.
    pub const BOTH: [Self; 2] = [Self::Long, Self::Short];
}

/// A kind of cow.
#[derive(Clone, Debug)]
pub struct Kind {
    /// What the trade calls her.
    pub name: String,
    /// How many of the 80.
    pub cows: usize,
    /// Presses as the page says, long and short.
    pub presses: [usize; 2],
    /// What is keyed, long and short; `n` for the number.
    keyed: [String; 2],
    /// The bundles of the page: "DO 01", and what is keyed without it.
    bundles: Vec<[String; 2]>,
}

/// The cells of the table that begins with this heading.
#[must_use]
pub fn table(first: &str) -> Vec<Vec<String>> {
    let lines = PAGE.lines().skip_while(|line| !line.starts_with(&format!("| {first} |")));
    lines
        .take_while(|line| line.starts_with('|'))
        .skip(2)
        .map(|line| {
            let cells = line.trim_matches('|').split('|');
            cells.map(|cell| cell.trim().trim_matches('`').to_owned()).collect()
        })
        .collect()
}

/// A number of the page. What is none counts as 0, and then the page does not count right.
fn number(cell: &str) -> usize {
    cell.parse().unwrap_or(0)
}

/// The kinds of cow, in the order of the page.
#[must_use]
pub fn kinds() -> Vec<Kind> {
    let bundles: Vec<[String; 2]> = table("Bundle")
        .iter()
        .map(|row| [format!("DO 0{}", row[0]), spelled_out(&row[1])])
        .collect();
    let kind = |row: Vec<String>| Kind {
        name: row[0].clone(),
        cows: number(&row[1]),
        presses: [number(&row[2]), number(&row[3])],
        keyed: [row[4].clone(), row[5].clone()],
        bundles: bundles.clone(),
    };
    table("Kind").into_iter().map(kind).collect()
}

/// The parts of a bundle as keys; all bundles of the page are keyed with the left hind in hand.
fn spelled_out(parts: &str) -> String {
    let part = |part: &str| {
        let words: Vec<&str> = part.split_whitespace().collect();
        let foot = if words[1] == "partner" { "LH " } else { "" };
        let days = words.get(2).map(|days| format!(" {days}")).unwrap_or_default();
        format!("{foot}DO {}{days}", words[0])
    };
    parts.split(", ").map(part).collect::<Vec<_>>().join(" ")
}

impl Kind {
    /// What is keyed of the cow with this number.
    fn keyed(&self, words: Words, number: usize) -> String {
        let keyed = match words {
            Words::Long => self.keyed[0].clone(),
            Words::Short => self.keyed[1].clone(),
            Words::WithoutBundles => self
                .bundles
                .iter()
                .fold(self.keyed[1].clone(), |keyed, [bundle, parts]| keyed.replace(bundle, parts)),
        };
        keyed.replacen(" n ", &format!(" {number} "), 1)
    }

    /// Presses for a cow with a number of three digits.
    #[must_use]
    pub fn counted(&self, words: Words) -> usize {
        presses(&self.keyed(words, 412))
    }
}

/// Keys of digits count one by one, a clip is a press of the pedal.
fn presses(words: &str) -> usize {
    let digits = |word: &str| word.bytes().all(|byte| byte.is_ascii_digit());
    words.split_whitespace().map(|word| if digits(word) { word.len() } else { 1 }).sum()
}

/// The day as a story, cow by cow in the order of the page, and its presses.
#[must_use]
pub fn story(kinds: &[Kind], words: Words) -> (String, usize) {
    let bundles: Vec<String> = table("Bundle")
        .into_iter()
        .map(|row| format!("bundle={}:{}", row[0], row[1].replace(", ", ",").replace(' ', "-")))
        .collect();
    let mut story = format!("power on\noffice clock\noffice plan {}\n", bundles.join(" "));
    let (mut number, mut total) = (100, 0);
    for kind in kinds {
        for _ in 0..kind.cows {
            number += 1;
            let keyed = kind.keyed(words, number);
            total += presses(&keyed);
            for (at, run) in keyed.split("clip").enumerate() {
                if at > 0 {
                    story += "clip 76.00 mm\n";
                }
                if !run.trim().is_empty() {
                    story += &format!("keys {}\n", run.trim());
                }
            }
        }
    }
    (story, total)
}
