//! Terminals that can't show every character.

use std::borrow::Cow;

/// What stands for a character that is not ASCII; what is not listed becomes `?`.
const PLAIN: &[(char, &str)] = &[
    ('°', "deg"),
    ('±', "+/-"),
    ('×', "x"),
    ('·', "*"),
    ('−', "-"),
    ('–', "-"),
    ('—', "-"),
    ('…', "..."),
    ('⌀', "dia "),
    ('Ø', "dia "),
    ('²', "^2"),
    ('³', "^3"),
    ('⁴', "^4"),
    ('µ', "u"),
    ('μ', "u"),
    ('π', "pi"),
    ('√', "sqrt"),
    ('≤', "<="),
    ('≥', ">="),
    ('≠', "!="),
    ('→', "->"),
    ('′', "'"),
    ('’', "'"),
    ('‘', "'"),
    ('″', "\""),
    ('”', "\""),
    ('“', "\""),
    ('½', " 1/2"),
    ('¼', " 1/4"),
    ('¾', " 3/4"),
    ('⅛', " 1/8"),
    ('⅜', " 3/8"),
    ('⅝', " 5/8"),
    ('⅞', " 7/8"),
    ('█', "#"),
    ('▇', "#"),
    ('▆', "#"),
    ('▅', "="),
    ('▄', "="),
    ('▃', "-"),
    ('▂', "-"),
    ('▁', "."),
    ('✓', "yes"),
    ('✗', "no"),
    ('\u{a0}', " "),
];

/// Returns whether the environment names a character set other than UTF-8, as `C` and
/// `de_DE.ISO-8859-1` do. The first of `LC_ALL`, `LC_CTYPE` and `LANG` that says
/// anything counts (POSIX.1-2017, 8.2); when none does, UTF-8 is taken for granted.
pub fn ascii_only() -> bool {
    named_otherwise(["LC_ALL", "LC_CTYPE", "LANG"].map(|name| std::env::var(name).ok()))
}

fn named_otherwise(values: [Option<String>; 3]) -> bool {
    let named = values.into_iter().flatten().find(|value| !value.is_empty());
    named.is_some_and(|locale| {
        let locale = locale.to_lowercase();
        !locale.contains("utf-8") && !locale.contains("utf8")
    })
}

/// Returns a text in ASCII.
pub fn plain(text: &str) -> Cow<'_, str> {
    if text.is_ascii() {
        return Cow::Borrowed(text);
    }
    let mut plain = String::with_capacity(text.len());
    for c in text.chars() {
        match PLAIN.iter().find(|(from, _)| *from == c) {
            Some((_, instead)) => plain.push_str(instead),
            None if c.is_ascii() => plain.push(c),
            None => plain.push('?'),
        }
    }
    Cow::Owned(plain)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signs_of_the_trade_are_spelled_out() {
        assert_eq!(plain("64 mm ±0.05, 45° × 2"), "64 mm +/-0.05, 45deg x 2");
        assert_eq!(plain("Bügel"), "B?gel");
        assert!(matches!(plain("12 mm H7"), Cow::Borrowed(_)));
    }

    #[test]
    fn the_first_that_says_anything_counts() {
        let of = |values: [&str; 3]| {
            named_otherwise(values.map(|value| (!value.is_empty()).then(|| value.to_owned())))
        };
        assert!(!of(["", "", ""]));
        assert!(of(["C", "", "en_GB.UTF-8"]));
        assert!(of(["", "de_DE.ISO-8859-1", ""]));
        assert!(of(["", "", "POSIX"]));
        assert!(!of(["C.UTF-8", "", "C"]));
        assert!(!of(["", "", "de_DE.utf8"]));
    }
}
