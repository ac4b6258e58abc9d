//! The sizes that the number in a designation can mean.

use crate::diagnostic::Fault;
use crate::trade::threads::designation::Size;
use crate::trade::threads::listed::BasicSizes;
use crate::trade::threads::series::Series;

/// A size that a designation may mean.
#[derive(Clone, Debug)]
pub(super) struct Candidate {
    /// Its number, as [`BasicSizes::nominal`] has it.
    pub(super) nominal: f64,
    /// As a designation writes it.
    pub(super) written: String,
    /// How far a written size may be off: decimal inches are written rounded.
    slack: f64,
    /// Whether it is a numbered size of the Unified series.
    pub(super) numbered: bool,
}

impl Candidate {
    pub(super) fn fits(&self, row: &BasicSizes) -> bool {
        (row.nominal - self.nominal).abs() <= self.slack
    }
}

/// Returns the sizes that a number can mean in a series, the likeliest first.
///
/// # Errors
/// A fault when the series has no such sizes.
pub(super) fn sizes(series: Series, size: Size) -> Result<Vec<Candidate>, Fault> {
    let plain = |nominal: f64, written: String| Candidate {
        nominal,
        written,
        slack: 1e-6,
        numbered: false,
    };
    let numbered = |n: u32| {
        // ASME B1.1: 0.060 in, and 0.013 in for each number.
        let known = [0, 1, 2, 3, 4, 5, 6, 8, 10, 12].contains(&n);
        known.then(|| Candidate {
            numbered: true,
            ..plain(0.060 + 0.013 * f64::from(n), format!("#{n}"))
        })
    };
    let unified = series.tables().contains(&"UNC")
        || matches!(series, Series::Unf | Series::Unef | Series::Uns);
    Ok(match size {
        Size::Numbered(n) if unified => vec![numbered(n).ok_or_else(|| {
            Fault::new(format!("no thread has the size `#{n}`"))
                .advise("numbered sizes are #0, #1, #2, #3, #4, #5, #6, #8, #10 and #12")
        })?],
        Size::Whole(n) if unified => {
            let inches = plain(f64::from(n), n.to_string());
            std::iter::once(inches).chain(numbered(n)).collect()
        }
        Size::Numbered(n) if series == Series::Ba => vec![plain(f64::from(n), n.to_string())],
        Size::Numbered(n) => {
            return Err(Fault::new(format!(
                "`#{n}` is a numbered size, which only Unified threads have"
            ))
            .advise("write `#10-32 UNF`, or give the diameter"));
        }
        Size::Whole(n) => vec![plain(f64::from(n), n.to_string())],
        Size::Fraction(_) if series.is_metric() || series == Series::Ba => {
            return Err(
                Fault::new("this series has no sizes in fractions of an inch")
                    .advise("write metric sizes as `M8` or `Tr 16x4`, BA sizes as `2 BA`"),
            );
        }
        Size::Measured(value) if series.is_metric() || series == Series::Ba => {
            vec![plain(value, value.to_string())]
        }
        Size::Measured(value) | Size::Fraction(value) => vec![Candidate {
            slack: 0.0006,
            ..plain(value, inches_written(value))
        }],
    })
}

/// Returns a number to six decimals.
pub(super) fn six_places(value: f64) -> f64 {
    (value * 1e6).round() / 1e6
}

/// Inches as a designation writes them: `1 1/8` where it is a 64th, else decimal.
pub(super) fn inches_written(inches: f64) -> String {
    let sixtyfourths = inches * 64.0;
    if (sixtyfourths - sixtyfourths.round()).abs() > 1e-9 || sixtyfourths > 64_000.0 {
        return six_places(inches).to_string();
    }
    // At most 64,000, just checked.
    let (mut top, mut bottom) = (sixtyfourths.round() as u32, 64);
    while top > 0 && top % 2 == 0 && bottom > 1 {
        top /= 2;
        bottom /= 2;
    }
    match (top / bottom, top % bottom) {
        (whole, 0) => whole.to_string(),
        (0, top) => format!("{top}/{bottom}"),
        (whole, top) => format!("{whole} {top}/{bottom}"),
    }
}
