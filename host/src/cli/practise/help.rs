//! The trainer's help: the command line's own in English, the same told in German.

use hornrule_facts::Language;
use hornrule_papers::words::{Say, Words};

use super::super::tree;

/// As `--help` prints it.
pub(super) fn print(words: &Words) {
    match words.language() {
        Language::English => {
            let mut all = tree().bin_name("hornrule");
            all.build();
            if let Some(verb) = all.find_subcommand_mut("practise") {
                print!("{}", verb.render_long_help());
            }
        }
        Language::German => {
            println!("{}\n\n{}", words.say(Say::TrainHelp), options(words));
        }
    }
}

/// Each option with what it does.
fn options(words: &Words) -> String {
    let rows = [
        ("--lesson LEKTION", Say::TrainOptionLesson),
        ("--day", Say::TrainOptionDay),
        ("--count N", Say::TrainOptionCount),
        ("--seed N", Say::TrainOptionSeed),
        ("--language en|de", Say::TrainOptionLanguage),
        ("--list", Say::TrainOptionList),
        ("--keys TASTEN", Say::TrainOptionKeys),
        ("--mute", Say::TrainOptionMute),
        ("--log DATEI", Say::TrainOptionLog),
        ("--json", Say::TrainOptionJson),
        ("-h, --help", Say::TrainOptionHelp),
    ];
    let lines = rows.map(|(option, does)| format!("  {option:<18} {}", words.say(does)));
    lines.join("\n")
}
