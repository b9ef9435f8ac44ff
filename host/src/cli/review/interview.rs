//! Asks a person about entries, one by one, in plain prompts.

use std::io::{BufRead, Write};
use std::path::Path;

use super::super::Failure;
use super::super::text::{name, note};
use super::decide::{animal, correction, cow, told};
use super::show;
use hornrule_facts::Key;
use hornrule_facts::Verdict;
use hornrule_files::input;
use hornrule_herd::Database;
use hornrule_intake::decide;
use hornrule_intake::decide::Signature;

/// What a person answered.
enum Answer {
    Decided(Verdict),
    Skip,
    Quit,
}

const CHOICES: &str = "accept (a), correct (c), give to a cow (r), discard (d), skip (s), quit (q)";

/// Shows each record and takes the answers. The end of the input is "quit".
pub(super) fn interview(
    herd: &mut Database,
    keys: &[Key],
    (who, why, at_ms): (Option<String>, Option<String>, i64),
    input: &mut impl BufRead,
    output: &mut impl Write,
) -> Result<(), Failure> {
    let mut talk = Talk { input, output };
    let who = match who {
        Some(who) => who,
        None => match talk.text("Your name: ", name)? {
            Some(who) => who,
            None => return Ok(()),
        },
    };
    for key in keys {
        talk.say(&show::told(herd, *key)?)?;
        let verdict = match talk.verdict()? {
            Answer::Decided(verdict) => verdict,
            Answer::Skip => continue,
            Answer::Quit => return Ok(()),
        };
        let why = match &why {
            Some(why) => why.clone(),
            None => match talk.text("Why: ", note)? {
                Some(why) => why,
                None => return Ok(()),
            },
        };
        let said = Signature { who: who.clone(), at_ms, why };
        match decide(herd, &said, &[(*key, verdict)]) {
            Ok(outcome) => talk.say(&told(herd, &outcome)?)?,
            Err(error) => match Failure::from(error) {
                failure @ Failure::Decide(hornrule_intake::DecideError::Database(_)) => {
                    return Err(failure);
                }
                failure => talk.say(&format!("Not decided: {failure}\n"))?,
            },
        }
        talk.say("\n")?;
    }
    talk.say("That was all.\n")
}

struct Talk<'a, I, O> {
    input: &'a mut I,
    output: &'a mut O,
}

impl<I: BufRead, O: Write> Talk<'_, I, O> {
    fn say(&mut self, text: &str) -> Result<(), Failure> {
        let terminal = || Failure::file(Path::new("terminal"));
        self.output.write_all(text.as_bytes()).map_err(terminal())?;
        self.output.flush().map_err(terminal())
    }

    /// An answer that is not empty; `None` at the end of the input.
    fn ask(&mut self, prompt: &str) -> Result<Option<String>, Failure> {
        loop {
            self.say(prompt)?;
            let read = input::line(self.input).map_err(Failure::file(Path::new("answers")))?;
            let Some(line) = read else {
                self.say("\n")?;
                return Ok(None);
            };
            let line = line.trim();
            if !line.is_empty() {
                return Ok(Some(line.to_owned()));
            }
        }
    }

    /// An answer that can be kept.
    fn text(
        &mut self,
        prompt: &str,
        fits: impl Fn(&str) -> Result<String, String>,
    ) -> Result<Option<String>, Failure> {
        loop {
            let Some(answer) = self.ask(prompt)? else { return Ok(None) };
            match fits(&answer) {
                Ok(text) => return Ok(Some(text)),
                Err(why) => self.say(&format!("{why}\n"))?,
            }
        }
    }

    fn verdict(&mut self) -> Result<Answer, Failure> {
        loop {
            let Some(answer) = self.ask(&format!("{CHOICES}: "))? else { return Ok(Answer::Quit) };
            let read = match answer.to_lowercase().as_str() {
                "a" | "accept" => Ok(Verdict::Accept),
                "d" | "discard" => Ok(Verdict::Discard),
                "s" | "skip" => return Ok(Answer::Skip),
                "q" | "quit" => return Ok(Answer::Quit),
                "c" | "correct" => match self.ask("Field and value, like grade=2: ")? {
                    None => return Ok(Answer::Quit),
                    Some(text) => {
                        correction(&text).map(|(field, value)| Verdict::Correct(field, value))
                    }
                },
                "r" | "cow" => match self.ask("The cow's number: ")? {
                    None => return Ok(Answer::Quit),
                    Some(text) => cow(&text).and_then(|number| {
                        let animal = animal(number);
                        animal.map(Verdict::Reassign).ok_or_else(|| "no such cow".to_owned())
                    }),
                },
                other => Err(format!("`{other}` is none of them")),
            };
            match read {
                Ok(verdict) => return Ok(Answer::Decided(verdict)),
                Err(why) => self.say(&format!("{why}\n"))?,
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::chosen::Filter;
    use super::*;
    use hornrule_kit::{EIGHT, Inspect, LH_IN, LH_OUT, Story, take_in, two_farms};

    fn waiting() -> (Database, Vec<Key>) {
        let (mut herd, _) = two_farms();
        let mut story = Story::at_work();
        story.act(30, LH_IN).cow(312).find(13, 4, LH_OUT).act(10, LH_OUT);
        take_in(&mut herd, &story);
        let keys = Filter::default().waiting(&herd).unwrap();
        assert_eq!(keys.len(), 2);
        (herd, keys)
    }

    /// What is asked and answered, whole, with slips of the pen on the way.
    #[test]
    fn two_entries_are_asked_about() {
        let (mut herd, keys) = waiting();
        let answers = "Anna\na\nher number came after\nc\ngrade=x\nc\ngrade=2\n\nread again\n";
        let mut output = Vec::new();
        let said = (None, None, EIGHT);
        interview(&mut herd, &keys, said, &mut answers.as_bytes(), &mut output).unwrap();
        insta::assert_snapshot!(String::from_utf8(output).unwrap());
        assert_eq!(herd.column("finding", "grade"), ["2"]);
        // Accepting an entry without a cow was refused; it still waits.
        assert_eq!(herd.count("decision"), 1);
    }

    #[test]
    fn the_end_of_the_answers_is_quit() {
        let (mut herd, keys) = waiting();
        for answers in
            ["", "Anna\n", "Anna\nd\n", "Anna\nq\n", "Anna\ns\n", "Anna\nc\n", "Anna\nr\n"]
        {
            let (mut output, said) = (Vec::new(), (None, None, EIGHT));
            interview(&mut herd, &keys, said, &mut answers.as_bytes(), &mut output).unwrap();
        }
        assert_eq!(herd.count("decision"), 0);
    }
}
