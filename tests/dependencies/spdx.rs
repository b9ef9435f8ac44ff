//! Licence expressions: SPDX 2.3, annex D, and the older `MIT/Apache-2.0`, which means OR.

/// Whether a program may be given away under this expression, with only these licences allowed.
///
/// # Errors
/// What of the expression cannot be read.
pub(crate) fn allowed(expression: &str, known: &dyn Fn(&str) -> bool) -> Result<bool, String> {
    let spaced = expression.replace('/', " OR ").replace('(', " ( ").replace(')', " ) ");
    let words: Vec<&str> = spaced.split_whitespace().collect();
    let mut rest = words.as_slice();
    let answer = either(&mut rest, known)?;
    if rest.is_empty() { Ok(answer) } else { Err(format!("`{expression}` goes on with {rest:?}")) }
}

fn take<'a>(rest: &mut &[&'a str], word: &str) -> Option<&'a str> {
    let (first, more) = rest.split_first()?;
    (*first == word).then(|| {
        *rest = more;
        *first
    })
}

fn either(rest: &mut &[&str], known: &dyn Fn(&str) -> bool) -> Result<bool, String> {
    let mut answer = both(rest, known)?;
    while take(rest, "OR").is_some() {
        answer |= both(rest, known)?;
    }
    Ok(answer)
}

fn both(rest: &mut &[&str], known: &dyn Fn(&str) -> bool) -> Result<bool, String> {
    let mut answer = one(rest, known)?;
    while take(rest, "AND").is_some() {
        answer &= one(rest, known)?;
    }
    Ok(answer)
}

fn one(rest: &mut &[&str], known: &dyn Fn(&str) -> bool) -> Result<bool, String> {
    if take(rest, "(").is_some() {
        let answer = either(rest, known)?;
        return take(rest, ")").map(|_| answer).ok_or_else(|| "a `)` is missing".to_owned());
    }
    let (first, more) = rest.split_first().ok_or("it ends too soon")?;
    *rest = more;
    if ["AND", "OR", "WITH", ")"].contains(first) {
        return Err(format!("`{first}` in the place of a licence"));
    }
    if take(rest, "WITH").is_none() {
        return Ok(known(first));
    }
    let (exception, more) = rest.split_first().ok_or("no exception after WITH")?;
    *rest = more;
    Ok(known(&format!("{first} WITH {exception}")))
}

#[test]
fn expressions_are_read() {
    let free = |name: &str| ["MIT", "Zlib", "Unicode-3.0"].contains(&name);
    for (expression, answer) in [
        ("MIT", true),
        ("GPL-3.0-only", false),
        ("MIT OR GPL-3.0-only", true),
        ("MIT/Apache-2.0", true),
        ("Apache-2.0 / MIT", true),
        ("MIT AND GPL-3.0-only", false),
        ("(MIT OR Apache-2.0) AND Unicode-3.0", true),
        ("MIT OR Apache-2.0 AND GPL-3.0-only", true),
        ("Apache-2.0 WITH LLVM-exception", false),
        ("Apache-2.0 WITH LLVM-exception OR Zlib", true),
    ] {
        assert_eq!(allowed(expression, &free), Ok(answer), "{expression}");
    }
    for wrong in ["", "MIT OR", "(MIT", "MIT MIT", "OR MIT", "MIT WITH"] {
        assert!(allowed(wrong, &free).is_err(), "{wrong}");
    }
}
