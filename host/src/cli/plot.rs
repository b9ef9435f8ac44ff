//! `hornrule plot`: an answer as a figure to print.

use std::collections::BTreeMap;
use std::path::PathBuf;

use clap::{Args, Subcommand, ValueEnum};

use super::evidence::EvidenceOptions;
use super::{Desk, Failure};
use hornrule_facts::{HerdId, Language, LengthUnit};
use hornrule_files::output;
use hornrule_herd::Database;
use hornrule_papers::plot;
use hornrule_papers::svg::Sheet;
use hornrule_papers::words::Words;
use hornrule_questions::evidence::{self, Bands, Blocks, Kind};

/// Draw a figure for print, as SVG or PNG
///
/// Black on white, 170 mm wide; lines differ by pattern and mark, not by colour alone. The figure
/// states its numbers, intervals, methods and seeds.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule plot blocks --svg blocks.svg --png blocks.png\n  \
                  hornrule plot healing --by severity --herd \"Alder Brook\" --svg healing.svg")]
pub(super) struct Options {
    #[command(subcommand)]
    what: What,
}

#[derive(Debug, Subcommand)]
enum What {
    /// Blocks still on, by way of gluing: curve, band, number followed
    Blocks(FigureOptions),
    /// Lesions not yet healed: curve, band, number followed
    Healing(HealingOptions),
    /// Growth of the dorsal wall: every growth period, and cow by cow
    Growth(FigureOptions),
    /// Agreement of two people: differences against means
    Agreement(FigureOptions),
    /// Gauge block checks with control limits
    Gauge(FigureOptions),
}

/// Where the figure goes.
#[derive(Debug, Args)]
#[group(required = true, multiple = true)]
struct FileOptions {
    /// Write an SVG to this file
    #[arg(long, value_name = "FILE")]
    svg: Option<PathBuf>,
    /// Write a PNG to this file
    #[arg(long, value_name = "FILE")]
    png: Option<PathBuf>,
}

/// The figure's file, size, farms and language.
#[derive(Debug, Args)]
struct FigureOptions {
    #[command(flatten)]
    files: FileOptions,
    /// Width of the PNG in dots; 2008 is 300 dpi
    #[arg(
        long,
        value_name = "DOTS",
        default_value = "2008",
        value_parser = clap::value_parser!(u32).range(400..=10_000)
    )]
    dots: u32,
    /// Only this farm [default: all farms together]
    #[arg(long, value_name = "NAME")]
    herd: Option<String>,
    /// Language of the figure
    #[arg(long, value_name = "en|de", default_value = "en", value_parser = super::paper::language)]
    language: Language,
    /// Unit of lengths
    #[arg(long, value_name = "mm|inch", default_value = "mm", value_parser = super::paper::unit)]
    unit: LengthUnit,
}

#[derive(Debug, Args)]
struct HealingOptions {
    /// How to group lesions
    #[arg(long, default_value = "lesion")]
    by: By,
    #[command(flatten)]
    figure: FigureOptions,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum By {
    Lesion,
    Severity,
    Action,
}

/// Everything asked about.
struct Asked {
    herd: Database,
    herds: Vec<HerdId>,
    farms: String,
    texts: Words,
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    match &options.what {
        What::Blocks(figure) => {
            let asked = asked(figure, desk)?;
            let blocks =
                evidence::blocks(&asked.herd, &asked.herds, Blocks::DIFFERENCE, Bands::Drawn)?;
            let few = "no way of gluing has blocks of ten cows that were seen again";
            deliver(figure, plot::blocks(&blocks, &asked.farms, &asked.texts), few)
        }
        What::Healing(HealingOptions { by, figure }) => {
            let asked = asked(figure, desk)?;
            let healing = evidence::healing(&asked.herd, &asked.herds, Bands::Drawn)?;
            let kind = match by {
                By::Lesion => Kind::Lesion,
                By::Severity => Kind::Severity,
                By::Action => Kind::Action,
            };
            let few = "no lesion was followed in ten cows";
            deliver(figure, plot::healing(&healing, kind, &asked.farms, &asked.texts), few)
        }
        What::Growth(figure) => {
            let asked = asked(figure, desk)?;
            let horn = evidence::growth(&asked.herd, &asked.herds, None, &BTreeMap::new())?;
            let few = "too few claws were measured after one trimming and before the next";
            deliver(figure, plot::growth(&horn, &asked.farms, &asked.texts), few)
        }
        What::Agreement(figure) => {
            let asked = asked(figure, desk)?;
            let agreement = evidence::agreement(&asked.herd, &asked.herds)?;
            let few = "three claws must have been measured by two people on one day";
            deliver(figure, plot::agreement(&agreement, &asked.farms, &asked.texts), few)
        }
        What::Gauge(figure) => {
            let asked = asked(figure, desk)?;
            let agreement = evidence::agreement(&asked.herd, &asked.herds)?;
            let few = "a gauge block must have been clipped twice (SIZE 0 and a clip)";
            deliver(figure, plot::gauge(&agreement, &asked.farms, &asked.texts), few)
        }
    }
}

fn asked(options: &FigureOptions, desk: &Desk) -> Result<Asked, Failure> {
    let evidence = EvidenceOptions::of(options.herd.clone());
    let (herd, herds) = evidence.herds(desk)?;
    let listed = herd.herds()?;
    let names = listed.iter().filter(|one| herds.contains(&one.herd)).map(|one| one.name.as_str());
    let farms = names.collect::<Vec<_>>().join(", ");
    let texts =
        Words::new(options.language).in_unit(options.unit).with_trial_ways(herd.trial_ways()?);
    Ok(Asked { herd, herds, farms, texts })
}

fn deliver(options: &FigureOptions, sheet: Option<Sheet>, few: &str) -> Result<(), Failure> {
    let Some(sheet) = sheet else {
        return Err(Failure::Said(format!("there is nothing to draw yet: {few}")));
    };
    let svg = sheet.svg();
    // Both are made before either is written: half a pair is worse than none.
    let png =
        options.files.png.as_ref().map(|file| Ok::<_, Failure>((file, png(&svg, options.dots)?)));
    let png = png.transpose()?;
    let svg = options.files.svg.as_ref().map(|file| (file, svg.into_bytes()));
    for (file, bytes) in svg.into_iter().chain(png) {
        output::write(file, &bytes)?;
        println!("figure    {}", file.display());
    }
    Ok(())
}

#[cfg(feature = "pdf")]
fn png(svg: &str, dots: u32) -> Result<Vec<u8>, Failure> {
    hornrule_pdf::png(svg, dots).map_err(|error| Failure::Said(error.to_string()))
}

#[cfg(not(feature = "pdf"))]
fn png(_svg: &str, _dots: u32) -> Result<Vec<u8>, Failure> {
    Err(Failure::Said(
        "this hornrule was built without PNG; use --svg, or build with the feature `pdf`"
            .to_owned(),
    ))
}
