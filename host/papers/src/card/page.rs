//! The code card as a page: one sheet, three columns, its back used where one side is too small. Where things are measured stands in the
//! manual and not here: the sheet is for who has measured before, and every word makes the others
//! smaller.

use super::{Card, Heard, Keyed};
use crate::claw_figure;
use crate::page::{Block, Cell, Column, Figure, Layout, Page, Table, Width};
use crate::svg::{keypad, rhythm_bar};
use crate::terms;
use crate::words::{Say, Words};
use hornrule_facts::{Day, Paper};
use hornrule_line::keying;

impl Card {
    /// The sheet. `day` is when it was made: all that its bytes depend on beside the tables.
    #[must_use]
    pub fn page(&self, words: &Words, paper: Paper, day: Day) -> Page {
        let mut page = Page::new(words, paper, words.say(Say::CardTitle), day);
        page.layout = Layout::Card;
        page.subtitle = Some(words.say(Say::CardSubtitle));
        self.keys(words, &mut page);
        self.findings(words, &mut page);
        self.done(words, &mut page);
        self.measured(words, &mut page);
        self.heard(words, &mut page);
        page.heading(words.say(Say::CardCautions));
        page.add(terms::cautions(words));
        page
    }

    fn keys(&self, words: &Words, page: &mut Page) {
        page.heading(words.say(Say::CardKeys));
        let rows = keypad_rows();
        page.add(Block::Figures(vec![Figure {
            svg: keypad(&rows),
            caption: None,
            alt: words.say(Say::CardAltKeys { keys: rows.concat().join(", ").into() }),
            lines: rows.iter().map(|row| row.join("  ")).collect(),
            width: Width::Full,
        }]));
        let about = words.say(Say::CardSentences);
        page.add(table("sentences", &about, None, &self.sentences, words));
        if !self.starts.is_empty() {
            page.note(self.starts.clone());
        }
        if !self.bundles.is_empty() {
            page.add(table("bundles", &about, None, &self.bundles, words));
        }
    }

    fn findings(&self, words: &Words, page: &mut Page) {
        page.heading(words.say(Say::CardLesions));
        let about = words.say(Say::CardLesions);
        let more = words.say(Say::CardLettersZone);
        page.add(table("lesions", &about, Some(more), &self.lesions, words));
        for Keyed { keys, says, more } in &self.grades {
            page.note(match more.as_str() {
                "" => words.say(Say::CardSeverity { digits: says.as_str().into() }),
                code => {
                    words.say(Say::CardStage { code: code.into(), digits: says.as_str().into() })
                }
            });
            debug_assert_eq!(keys, "s");
        }
        page.note(words.say(Say::CardOfFoot { codes: self.of_foot.join(", ").into() }));
        page.heading(words.say(Say::CardZones));
        page.add(Block::Figures(vec![claw_figure::for_card(words)]));
        let named = self.zones.iter().map(|zone| format!("{} {}", zone.keys, zone.says));
        page.note(named.collect::<Vec<_>>().join(", "));
    }

    fn done(&self, words: &Words, page: &mut Page) {
        page.heading(words.say(Say::CardActions));
        page.add(table("actions", &words.say(Say::CardActions), None, &self.actions, words));
    }

    fn measured(&self, words: &Words, page: &mut Page) {
        page.heading(words.say(Say::CardDimensions));
        let about = words.say(Say::CardDimensions);
        let usual = words.say(Say::CardUsual { unit: words.unit_sign().into() });
        page.add(table("dimensions", &about, Some(usual), &self.dimensions, words));
        page.heading(words.say(Say::CardScales));
        let range = words.say(Say::CardRange);
        page.add(table("scales", &words.say(Say::CardScales), Some(range), &self.scales, words));
    }

    fn heard(&self, words: &Words, page: &mut Page) {
        page.heading(words.say(Say::CardCues));
        page.note(words.say(Say::CardCuesNote));
        let columns = vec![
            Column::text(words.say(Say::CardRhythm), 0),
            Column::text(words.say(Say::CardMeans), 1),
        ];
        let mut table = Table::new("cues", words.say(Say::CardCues), columns)
            .grouped_by(words.say(Say::CardLight));
        for (light, title) in
            [("green", Say::CardGreen), ("amber", Say::CardAmber), ("red", Say::CardRed)]
        {
            table.section(words.say(title));
            for Heard { rhythm_ms, bar, name, advice, .. } in
                self.cues.iter().filter(|cue| cue.light == light)
            {
                let drawing = Cell::Drawing { svg: rhythm_bar(rhythm_ms), alt: bar.clone() };
                let (cue, advice) = (name.as_str().into(), advice.as_str().into());
                table.row([drawing, words.say(Say::CardCue { cue, advice }).into()]);
            }
        }
        page.add(Block::Table(table));
        self.told(words, page);
    }

    fn told(&self, words: &Words, page: &mut Page) {
        page.heading(words.say(Say::CardTold));
        page.note(words.say(Say::CardToldNote));
        let columns = vec![
            Column::text(words.say(Say::CardCount), 0),
            Column::text(words.say(Say::CardMeans), 1),
        ];
        let mut table = Table::new("counts", words.say(Say::CardTold), columns)
            .grouped_by(words.say(Say::CardCues));
        for Heard { name, means, .. } in &self.cues {
            table.section(name.clone());
            for Keyed { keys, says, .. } in means {
                table.row([Cell::Strong(keys.clone()), says.as_str().into()]);
            }
        }
        page.add(Block::Table(table));
    }
}

/// Legends of the matrix, row by row.
fn keypad_rows() -> Vec<Vec<&'static str>> {
    use hornrule_core::keypad::{COLUMNS, Key, ROWS};
    let key = |at: u8| Key::at(at).map_or("", keying::legend);
    (0..ROWS).map(|row| (0..COLUMNS).map(|column| key(row * COLUMNS + column)).collect()).collect()
}

fn table(
    name: &'static str,
    about: &str,
    more: Option<String>,
    rows: &[Keyed],
    words: &Words,
) -> Block {
    let mut columns = vec![
        Column::text(words.say(Say::CardKeyed), 0),
        Column::text(words.say(Say::CardMeans), 1),
    ];
    let has_more = more.is_some();
    columns.extend(more.map(|title| Column::text(title, 0)));
    let mut table = Table::new(name, about, columns);
    for Keyed { keys, says, more } in rows {
        let mut cells = vec![Cell::Strong(keys.clone()), says.as_str().into()];
        if has_more {
            cells.push(more.as_str().into());
        }
        table.row(cells);
    }
    Block::Table(table)
}
