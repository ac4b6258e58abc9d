//! Reading what a user calls a taper.

use crate::diagnostic::Fault;
use crate::quantity::short;
use crate::trade::tapers::listed::{self, SERIES};
use crate::trade::words::{plain, quote};

/// The longest designation looked at, in bytes; nothing longer is one.
const LONGEST: usize = 60;

/// The series of the two kinds of taper pins.
const METRIC_PIN: &str = "metric taper pin";
const INCH_PIN: &str = "inch taper pin";

/// What the text asks for.
#[derive(Debug, PartialEq)]
pub(super) enum Designation {
    /// A number of a series; empty when none was written.
    Number(&'static str, String),
    /// A plain rate.
    Rate(Rate),
    /// None of the ways to write a taper.
    Unknown,
}

/// A change of diameter per length as it was written.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Rate {
    /// So much in so much: 1:20, 7:24.
    Ratio(f64, f64),
    /// Inches per foot.
    InchPerFoot(f64),
    /// Inches per inch.
    InchPerInch(f64),
}

/// Reads a designation.
pub(super) fn read(text: &str) -> Result<Designation, Fault> {
    if text.len() > LONGEST {
        return Ok(Designation::Unknown);
    }
    let text = plain(text).replace(['–', '—'], "-").replace('½', " 1/2");
    if let Some(rate) = per_foot(&text).or_else(|| ratio(&text)) {
        return checked(rate, &text);
    }
    if let Some(asked) = single(&text) {
        return Ok(asked);
    }
    let words = SERIES.iter().flat_map(|(series, _, _, words)| {
        let words = words.iter();
        words.map(move |word| (*series, *word))
    });
    for (series, word) in words {
        let Some(number) = text.strip_prefix(word).or(text.strip_suffix(word)) else {
            continue;
        };
        let number = number.trim_matches([' ', '-']);
        if series == METRIC_PIN {
            return pin(number);
        }
        let number = without_no(number);
        if number.is_empty() || number.starts_with(|c: char| c.is_ascii_digit()) {
            return Ok(Designation::Number(series, numbered(series, number)));
        }
    }
    Ok(Designation::Unknown)
}

/// Returns the rate when both its numbers are above nothing.
fn checked(rate: Rate, text: &str) -> Result<Designation, Fault> {
    let above_nothing = match rate {
        Rate::Ratio(over, under) => over > 0.0 && under > 0.0,
        Rate::InchPerFoot(inches) | Rate::InchPerInch(inches) => inches > 0.0,
    };
    if above_nothing {
        Ok(Designation::Rate(rate))
    } else {
        Err(Fault::new(format!(
            "the numbers of the taper {} must be above 0",
            quote(text)
        ))
        .advise("write a rate on the diameter, as in `1:20` or `0.6 in/ft`"))
    }
}

/// Reads `0.6 in/ft`, `3/4 inch per foot`, `0.05 in/in`.
fn per_foot(text: &str) -> Option<Rate> {
    let parts = |separator: &str| text.rsplit_once(separator);
    let (inches, under) = parts("/f")
        .or_else(|| parts("/i"))
        .or_else(|| parts(" per f"))
        .or_else(|| parts(" per i"))?;
    let inches = ["inches", "inch", "in", "\""]
        .into_iter()
        .find_map(|unit| inches.trim_end().strip_suffix(unit))?;
    let inches = mixed_number(inches.trim())?;
    match under {
        "t" | "oot" => Some(Rate::InchPerFoot(inches)),
        "n" | "nch" => Some(Rate::InchPerInch(inches)),
        _ => None,
    }
}

/// Reads `1:20`, `7:24`, `1 in 20`, `1/20`.
fn ratio(text: &str) -> Option<Rate> {
    let (over, under) = text
        .split_once(':')
        .or_else(|| text.split_once(" in "))
        .or_else(|| text.split_once('/'))?;
    Some(Rate::Ratio(number(over.trim())?, number(under.trim())?))
}

/// Reads `0.75`, `3/4` or `1 1/2`.
fn mixed_number(text: &str) -> Option<f64> {
    let Some((before, under)) = text.split_once('/') else {
        return number(text);
    };
    let (whole, over) = before.split_once(' ').unwrap_or(("0", before));
    let under = number(under)?;
    let value = number(whole)? + number(over)? / under;
    value.is_finite().then_some(value)
}

/// Digits with a decimal point, perhaps with a minus before them.
fn number(text: &str) -> Option<f64> {
    let digits = text.strip_prefix('-').unwrap_or(text);
    let plain = digits.chars().all(|c| c.is_ascii_digit() || c == '.');
    if plain { text.parse().ok() } else { None }
}

/// Returns the tapers that are not a word and a number.
fn single(text: &str) -> Option<Designation> {
    let found = |series, number: &str| Some(Designation::Number(series, number.to_owned()));
    let closed: String = text.split(' ').collect();
    match closed.as_str() {
        "npt" => return found("pipe thread", "NPT"),
        "bspt" | "r" => return found("pipe thread", "BSPT"),
        "r8" => return found("collet", "R8"),
        "5c" => return found("collet", "5C"),
        _ => {}
    }
    let all_digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    if let Some(rest) = text
        .strip_prefix("d1")
        .map(|rest| rest.trim_matches([' ', '-']))
        && all_digits(rest)
    {
        return found("spindle nose", &format!("D1-{rest}"));
    }
    let rest = closed.strip_prefix('b')?;
    if all_digits(rest) {
        return found("drill chuck", &format!("B{rest}"));
    }
    None
}

/// Returns a number without the sign that says it is one: `#2`, `no. 2`.
fn without_no(text: &str) -> &str {
    ["#", "no.", "no"]
        .into_iter()
        .find_map(|sign| text.strip_prefix(sign))
        .unwrap_or(text)
        .trim_start()
}

/// Returns a number of a series as its table writes it.
fn numbered(series: &str, number: &str) -> String {
    match series {
        "Morse" if number == "4.5" => "4 1/2".to_owned(),
        "Jacobs" => match number.strip_suffix("short").or(number.strip_suffix('s')) {
            Some(short) => format!("{} short", short.trim_end()),
            None => number.to_owned(),
        },
        "metric" => number.trim_end_matches("mm").trim_end().to_owned(),
        _ => number.to_owned(),
    }
}

/// Returns the rest of a taper pin's designation.
fn pin(text: &str) -> Result<Designation, Fault> {
    let metric = |number: &str| Ok(Designation::Number(METRIC_PIN, decimal(number)));
    let inch = |number: &str| Ok(Designation::Number(INCH_PIN, number.to_owned()));
    if let Some(rest) = text.strip_suffix("1:50") {
        return metric(rest.trim_end().trim_end_matches("mm").trim_end());
    }
    if let Some(rest) = text.strip_suffix("1:48") {
        return inch(without_no(rest.trim_end()));
    }
    let bare = without_no(text);
    if bare.is_empty() {
        return Err(Fault::new("the taper pin has no size").advise(
            "write the metric pin by its diameter, as in `taper pin 6 mm`, the inch pin by its number, as in `taper pin #4`",
        ));
    }
    if !bare.starts_with(|c: char| c.is_ascii_digit()) {
        return Ok(Designation::Unknown);
    }
    if let Some(size) = text.strip_suffix("mm") {
        return metric(size.trim_end());
    }
    if bare.len() < text.len() {
        return inch(bare);
    }
    match (
        listed::find(METRIC_PIN, &decimal(bare)),
        listed::find(INCH_PIN, bare),
    ) {
        (Some(_), Some(_)) => Err(Fault::new(format!(
            "the taper pin {} may be metric or inch",
            quote(bare)
        ))
        .advise(format!(
            "write `taper pin {bare} mm` or `taper pin #{bare}`"
        ))),
        (None, Some(_)) => inch(bare),
        _ => metric(bare),
    }
}

/// Returns a decimal number in its shortest form, `6` for `6.0`.
fn decimal(text: &str) -> String {
    number(text).map_or_else(|| text.to_owned(), |value| short(value, 3))
}
