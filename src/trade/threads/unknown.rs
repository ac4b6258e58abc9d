//! What to say about a designation that names no known thread.

use crate::diagnostic::{Fault, did_you_mean};
use crate::trade::threads::designation::{ParsedDesignation, Size};
use crate::trade::threads::listed::{BasicSizes, LISTED, close, rows};
use crate::trade::threads::series::Series;
use crate::trade::threads::sizes::{Candidate, inches_written};

/// How designations are written, for a text that resembles none.
const WRITTEN: &str = "write it as a drawing does: `M8`, `M8x1`, `1/4-20 UNC`, `#10-32 UNF`, \
    `1/4 BSF`, `2 BA`, `1/4-40 ME`, `1/4-26 Brass`, `G 1/4`, `Tr 16x4` or `1/2-10 Acme`";

/// No known designation comes near a longer text than this, in bytes.
const LONGEST_KNOWN: usize = 24;

/// How many known designations are offered.
const OFFERED: usize = 4;

/// Adds the nearest known designations, or how they are written, to a fault.
pub(super) fn advised(fault: Fault, text: &str) -> Fault {
    if fault.advice.is_some() {
        return fault;
    }
    let known = LISTED.iter().map(|row| row.designation.as_str());
    let text = text.trim();
    let near = if text.len() <= LONGEST_KNOWN {
        did_you_mean(text, known)
    } else {
        None
    };
    fault.advise(near.unwrap_or_else(|| WRITTEN.to_owned()))
}

/// Returns a size without the name of a series, such as `1/4-20`.
pub(super) fn no_series(text: &str, asked: &ParsedDesignation) -> Fault {
    let fault = Fault::new(format!("`{}` names no thread series", text.trim()));
    let nominals: Vec<f64> = match asked.size {
        Size::Numbered(n) => vec![0.060 + 0.013 * f64::from(n)],
        Size::Whole(n) => vec![f64::from(n), 0.060 + 0.013 * f64::from(n)],
        Size::Measured(value) | Size::Fraction(value) => vec![value],
    };
    let fits: Vec<&BasicSizes> = LISTED
        .iter()
        .filter(|row| nominals.iter().any(|n| (row.nominal - n).abs() < 1e-6))
        .filter(|row| asked.rate.is_none_or(|rate| close(row.rate(), rate)))
        .take(OFFERED)
        .collect();
    if fits.is_empty() {
        return advised(fault, text);
    }
    fault.advise(format!("write {}", one_of(&fits)))
}

/// Returns a designation that leaves several threads to choose from.
pub(super) fn several(text: &str, rows: &[&BasicSizes]) -> Fault {
    let rows = rows.get(..OFFERED).unwrap_or(rows);
    Fault::new(format!("`{}` may be several threads", text.trim()))
        .advise(format!("write {}", one_of(rows)))
}

/// Returns a size or a pitch that a series does not have.
pub(super) fn not_in_series(
    text: &str,
    series: Series,
    sizes: &[Candidate],
    asked: &ParsedDesignation,
) -> Fault {
    let text = text.trim();
    let same_size: Vec<&BasicSizes> = rows(series.tables())
        .filter(|row| sizes.iter().any(|size| size.fits(row)))
        .take(OFFERED)
        .collect();
    let metric = series == Series::Metric;
    if !same_size.is_empty() {
        let message = match asked.rate {
            Some(_) => format!("`{text}` is a pitch that its series does not have"),
            None if metric => format!("`{text}` has no coarse pitch in ISO 261"),
            None => format!("`{text}` is not in the tables"),
        };
        let mut advice = format!("write {}", one_of(&same_size));
        if let (Some(name), Some(rate), Some(size)) = (series.special(), asked.rate, sizes.first())
        {
            advice.push_str(&format!(
                "; or, for a special thread of that form, `{}-{rate} {name}`",
                size.written
            ));
        }
        return Fault::new(message).advise(advice);
    }
    // Without a pitch only those that need none are of use.
    let usual: &'static [&'static str] = match asked.rate {
        None if metric => &["ISO metric coarse"],
        _ => series.tables(),
    };
    let wanted = sizes.first().map_or(0.0, |size| size.nominal);
    let mut nearest: Vec<&BasicSizes> = rows(usual).collect();
    nearest.sort_by(|a, b| {
        (a.nominal - wanted)
            .abs()
            .total_cmp(&(b.nominal - wanted).abs())
    });
    nearest.truncate(OFFERED);
    let mut advice = format!("the nearest known are {}", one_of(&nearest));
    if metric && asked.rate.is_none() {
        advice.push_str(&format!(
            "; for another diameter write its pitch too, such as `M{wanted}x1`"
        ));
    } else if let (Some(name), None) = (series.calculated(), asked.rate)
        && !series.is_metric()
    {
        advice.push_str(&format!(
            "; for another write its threads per inch too, such as `{}-20 {name}`",
            inches_written(wanted)
        ));
    }
    Fault::new(format!("`{text}` is not in the tables")).advise(advice)
}

/// Returns "`M7`, `M8` or `M9`".
fn one_of(rows: &[&BasicSizes]) -> String {
    let names: Vec<String> = rows
        .iter()
        .map(|row| format!("`{}`", row.designation))
        .collect();
    match names.as_slice() {
        [] => String::new(),
        [only] => only.clone(),
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use crate::trade::threads::thread;

    #[track_caller]
    fn check(text: &str, message: &str, advice: &str) {
        let fault = thread(text).unwrap_err();
        assert_eq!(fault.message, message, "{text}");
        let said = fault.advice.unwrap_or_default();
        assert!(said.contains(advice), "{text}: {said}");
        assert_eq!(fault.argument, Some(0), "{text}");
    }

    #[test]
    fn the_nearest_known_threads_are_offered() {
        check(
            "",
            "the thread designation is empty",
            "write it as a drawing does",
        );
        check(
            "   ",
            "the thread designation is empty",
            "write it as a drawing does",
        );
        check("M23", "`M23` is not in the tables", "`M22`, `M24`");
        check(
            "M15",
            "`M15` has no coarse pitch in ISO 261",
            "write `M15x1` or `M15x1.5`",
        );
        check(
            "1/4-24 UNC",
            "`1/4-24 UNC` is a pitch that its series does not have",
            "write `1/4-20 UNC`; or, for a special thread of that form, `1/4-24 UN`",
        );
        check(
            "1/4-24 BSF",
            "`1/4-24 BSF` is a pitch that its series does not have",
            "`1/4-26 BSF`",
        );
        check(
            "5/8-40 BSF",
            "`5/8-40 BSF` is a pitch that its series does not have",
            "`5/8-40 Whitworth`",
        );
        check("1/3 BSW", "`1/3 BSW` is not in the tables", "`5/16-18 BSW`");
        check("17 BA", "`17 BA` is not in the tables", "`16 BA`");
        check(
            "1/4 ME",
            "`1/4 ME` may be several threads",
            "`1/4-40 ME` or `1/4-32 ME`",
        );
        check(
            "1/4-20",
            "`1/4-20` names no thread series",
            "write `1/4-20 UNC` or `1/4-20 BSW`",
        );
        check(
            "10-32",
            "`10-32` names no thread series",
            "write `#10-32 UNF`",
        );
        check("8x1", "`8x1` names no thread series", "`M8x1`");
        check(
            "Tr 16",
            "`Tr 16` may be several threads",
            "write `Tr 16x2` or `Tr 16x4`",
        );
        check("G 9", "`G 9` is not in the tables", "`G 6`");
        check(
            "1/4-18 NPT",
            "`NPT` in `1/4-18 NPT` is not a pitch, a series or a tolerance class",
            "write",
        );
        check("#7-32 UNF", "no thread has the size `#7`", "numbered sizes");
        check(
            "#10 BSW",
            "`#10` is a numbered size, which only Unified threads have",
            "`#10-32 UNF`",
        );
    }

    #[test]
    fn a_fraction_is_no_metric_size() {
        let message = "this series has no sizes in fractions of an inch";
        check("M20 1/3P1", message, "write metric sizes as `M8`");
        check("Tr 1/2x4", message, "write metric sizes as `M8`");
        check("1/2 BA", message, "BA sizes as `2 BA`");
        // Thirds of an inch are written as decimals, and read again.
        let found = thread("1/3-20 UN").unwrap().designation;
        assert_eq!(thread(&found).unwrap().designation, "0.333333-20 UN");
    }

    #[test]
    fn nothing_that_can_be_typed_is_more_than_a_fault() {
        let long = "M8".repeat(50_000);
        for text in [
            "M",
            "M0",
            "M-8",
            "M0x1",
            "M8x0",
            "M8x-1",
            "M8x",
            "Mx1",
            "M8x20",
            "M99999x1",
            "M8x0.001",
            "M1e9",
            "M8 M8",
            "x",
            "-",
            "#",
            "(",
            "()",
            "/",
            "1/",
            "/4",
            "1/0-20 UNC",
            "1/4-0 UN",
            "1/4-99999 UN",
            "UNC",
            "UNF UNC",
            "BA",
            "-1 BA",
            "1.5 BA",
            "G",
            "G 0",
            "Tr",
            "Tr 0x0",
            "Tr 20x8(P",
            "Tr 20x8(P4",
            "Acme",
            "Acme 0-10",
            "1/2-0P-0.2L Acme",
            "1/2-P-L Acme",
            "Ṁ8",
            "M８",
            "M8\u{202e}",
            "\u{0}",
            "🔩",
            "½½ UNC",
            "1 1 1 UNC",
            "1/4/4 UNC",
            "M8x1x1",
            "999999999999 UN",
            "1/9999-20 UN",
            &long,
        ] {
            let fault = thread(text).unwrap_err();
            assert!(
                !fault.message.is_empty() && fault.message.len() < 200,
                "{text}: {fault}"
            );
            assert_eq!(fault.argument, Some(0), "{text}");
            assert!(fault.advice.is_some(), "{text}: {fault}");
        }
    }

    proptest::proptest! {
        #[test]
        fn any_text_is_a_thread_or_a_fault(text in ".{0,80}") {
            if let Err(fault) = thread(&text) {
                proptest::prop_assert_eq!(fault.argument, Some(0));
                proptest::prop_assert!(fault.advice.is_some());
            }
        }

        #[test]
        fn whatever_resembles_a_designation_is_a_thread_or_a_fault(
            text in "(M|Tr|G|#|No\\.|ME|Acme)? ?[0-9]{0,3}(\\.[0-9]{1,2}|[- ]?[0-9]{1,2}/[0-9]{1,2})?\
                ([x -]{1,2}[0-9.]{1,4})?(\\(?P[0-9]\\)?)?-? ?(UN|UNC|BSW|BA|ME|Brass|Acme|Whit|NC|V|LH|6g|2A)?"
        ) {
            match thread(&text) {
                Ok(found) => {
                    proptest::prop_assert!(found.minor_external.value > 0.0);
                    proptest::prop_assert!(found.minor_external < found.pitch_diameter);
                    proptest::prop_assert!(found.pitch_diameter < found.major);
                    let again = thread(&found.designation);
                    proptest::prop_assert_eq!(again.map(|t| t.designation), Ok(found.designation));
                }
                Err(fault) => proptest::prop_assert!(fault.advice.is_some(), "{}", fault),
            }
        }
    }
}
