//! A page as one HTML file, complete in itself: no script, no request, its drawings inside.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::{
    Block, Cell, Column, Figure, Layout, Notice, Number, Page, Section, Table, Weight, Width,
};

const STYLE: &str = include_str!("style.css");

impl Page {
    /// The page as one HTML file.
    #[must_use]
    pub fn render_html(&self) -> String {
        let size = if self.paper == "letter" { "letter" } else { "A4" };
        let margin = match self.layout {
            Layout::Report => "16mm",
            Layout::Card => "8mm",
        };
        let sheet = format!("@page {{ size: {size}; margin: {margin}; }}");
        let page = html! {
            (DOCTYPE)
            html lang=(self.language) {
                head {
                    meta charset="utf-8";
                    meta name="viewport" content="width=device-width, initial-scale=1";
                    // An icon of nothing, or the browser asks the server for one.
                    link rel="icon" href="data:,";
                    title { (self.title) }
                    style { (PreEscaped(STYLE)) (sheet) }
                }
                body class=[(self.layout == Layout::Card).then_some("card")] {
                    header {
                        h1 { (self.title) }
                        @if let Some(subtitle) = &self.subtitle { p.subtitle { (subtitle) } }
                    }
                    main { (self::blocks(&self.blocks)) }
                    footer { (self.footer) }
                }
            }
        };
        page.into_string()
    }
}

/// Addresses that follow each other stand side by side where there is room.
fn blocks(blocks: &[Block]) -> Markup {
    let lines = |block: &Block| matches!(block, Block::Lines(_));
    html! {
        @for run in blocks.chunk_by(|one, other| lines(one) && lines(other)) {
            @if run.len() > 1 {
                div.parties { @for block in run { (self::block(block)) } }
            } @else {
                @for block in run { (self::block(block)) }
            }
        }
    }
}

fn block(block: &Block) -> Markup {
    match block {
        Block::Heading(text) => html! { h2 { (text) } },
        Block::Para(text) => html! { p { (text) } },
        Block::Note(text) => html! { p.note { (text) } },
        Block::Lines(lines) => html! {
            p.lines { @for (at, line) in lines.iter().enumerate() {
                @if at > 0 { br; } (line)
            } }
        },
        Block::List(lines) => html! { ul { @for line in lines { li { (line) } } } },
        Block::Numbers(numbers) => {
            html! { dl { @for number in numbers { (self::number(number)) } } }
        }
        Block::Notice(notice) => self::notice(notice),
        Block::Table(table) => self::table(table),
        Block::Folded(table) => html! {
            details { summary { (table.about) } (self::table(table)) }
        },
        Block::Figures(figures) => html! {
            div.figures { @for figure in figures { (self::figure(figure)) } }
        },
        Block::Cautions(cautions) => html! {
            div.cautions { @for caution in cautions {
                p { strong { (caution.heading) } " " (caution.text) }
            } }
        },
        Block::Room(room) => html! {
            div.room {
                p { (room.label) }
                @for _ in 0..room.lines { div.line {} }
            }
        },
        Block::Break => html! { div.break {} },
    }
}

fn number(number: &Number) -> Markup {
    html! {
        div {
            dt { (number.label) }
            dd {
                (number.value)
                @if let Some(note) = &number.note { " " small { (note) } }
            }
        }
    }
}

fn notice(notice: &Notice) -> Markup {
    let weight = match notice.weight {
        Weight::Now => "now",
        Weight::Soon => "soon",
        Weight::Mind => "mind",
    };
    html! {
        section class={ "notice " (weight) } {
            h3 { (notice.heading) }
            ul { @for line in &notice.lines { li { (line) } } }
        }
    }
}

fn table(table: &Table) -> Markup {
    let columns = table.columns.len();
    html! {
        table aria-label=(table.about) {
            thead { tr { @for column in &table.columns {
                th.n[column.number].s[column.is_slim()] scope="col" { (column.title) }
            } } }
            @for Section { title, rows } in &table.sections {
                tbody {
                    @if let Some(title) = title {
                        tr.group { th scope="rowgroup" colspan=(columns) { (title) } }
                    }
                    @for row in rows { tr { @for (at, cell) in row.iter().enumerate() {
                        @let column = table.columns.get(at);
                        @let number = column.is_some_and(|column| column.number);
                        @let slim = column.is_some_and(Column::is_slim);
                        @let title = column.map(|column| column.title.as_str());
                        // On a phone a row is a card, and each cell says which column it is of.
                        td.n[number].s[slim] data-column=[title] { (self::cell(cell)) }
                    } } }
                }
            }
        }
    }
}

fn cell(cell: &Cell) -> Markup {
    html! {
        @match cell {
            Cell::Text(text) => (text),
            Cell::Strong(text) => strong { (text) },
            Cell::Tick => span.tick role="img" aria-label="[ ]" {},
            Cell::Drawing { svg, alt } => {
                span.inline role="img" aria-label=(alt) { (PreEscaped(svg)) }
            },
        }
    }
}

fn figure(figure: &Figure) -> Markup {
    let width = match figure.width {
        Width::Full => "full",
        Width::Half => "half",
        Width::Third => "third",
    };
    html! {
        figure class=(width) {
            div.drawing role="img" aria-label=(figure.alt) { (PreEscaped(&figure.svg)) }
            @if let Some(caption) = &figure.caption { figcaption { (caption) } }
        }
    }
}
