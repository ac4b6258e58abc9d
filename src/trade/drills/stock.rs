//! The sets that drills are sold in.

use std::borrow::Cow;
use std::sync::LazyLock;

use serde::Deserialize;
use uom::si::f64::Length;
use uom::si::length::{inch, millimeter};

use crate::diagnostic::Fault;
use crate::trade::drills::Drill;
use crate::trade::lengths::{in_millimetres, same};
use crate::trade::table::built_in;
use crate::trade::words::unknown;

/// The drills to choose from.
#[derive(Clone, Copy, Debug)]
pub enum Stock<'a> {
    /// A set by its name.
    Set(&'a str),
    /// The drills owned, by diameter, in any order.
    Owned(&'a [Length]),
}

/// The longest list of owned drills that is looked through.
const MOST_OWNED: usize = 10_000;

#[derive(Deserialize)]
struct Run {
    first_mm: f64,
    last_mm: f64,
    step_mm: f64,
}

#[derive(Deserialize)]
struct Named {
    name: String,
    diameter_in: f64,
}

#[derive(Deserialize)]
struct Sixtyfourths {
    first_64ths: u32,
    last_64ths: u32,
    step_64ths: u32,
}

/// The sets by name: metric; number, letter and fraction; `inch` for those three, `any` for
/// all. Each has its smallest drill first.
///
/// Source: ISO 235:1980 (metric), ANSI/ASME B94.11M-1993 (number, letter, fraction).
static SETS: LazyLock<[(&str, Vec<Drill>); 6]> = LazyLock::new(|| {
    // Counted in hundredths of a millimetre, so that every diameter is exact.
    let hundredths = |mm: f64| (mm * 100.0).round() as usize;
    let runs = built_in::<Run>("drills_metric").rows.into_iter();
    let sizes = runs.flat_map(|run| {
        (hundredths(run.first_mm)..=hundredths(run.last_mm)).step_by(hundredths(run.step_mm).max(1))
    });
    let metric: Vec<Drill> = sizes.map(|size| metric(size as f64 / 100.0)).collect();
    let named = built_in::<Named>("drills_number_letter").rows.into_iter();
    let named = named.map(|row| Drill {
        name: row.name,
        diameter: Length::new::<inch>(row.diameter_in),
    });
    let (number, letter): (Vec<Drill>, Vec<Drill>) =
        named.partition(|drill| drill.name.starts_with('#'));
    let runs = built_in::<Sixtyfourths>("drills_fraction").rows.into_iter();
    let sizes = runs
        .flat_map(|run| (run.first_64ths..=run.last_64ths).step_by(run.step_64ths.max(1) as usize));
    let fraction: Vec<Drill> = sizes.map(fraction).collect();
    let inches = [number.clone(), letter.clone(), fraction.clone()].concat();
    let any = [metric.clone(), inches.clone()].concat();
    [
        ("metric", sorted(metric)),
        ("number", sorted(number)),
        ("letter", sorted(letter)),
        ("fraction", sorted(fraction)),
        ("inch", sorted(inches)),
        ("any", sorted(any)),
    ]
});

/// Returns a metric drill of `mm` millimetres.
pub(super) fn metric(mm: f64) -> Drill {
    Drill {
        name: format!("{mm} mm"),
        diameter: Length::new::<millimeter>(mm),
    }
}

/// Returns a fractional drill of so many 64ths of an inch, named in lowest terms.
pub(super) fn fraction(sixtyfourths: u32) -> Drill {
    let (whole, mut top, mut bottom) = (sixtyfourths / 64, sixtyfourths % 64, 64);
    while top > 0 && top % 2 == 0 {
        top /= 2;
        bottom /= 2;
    }
    let name = match (whole, top) {
        (0, _) => format!("{top}/{bottom}"),
        (_, 0) => format!("{whole} in"),
        _ => format!("{whole} {top}/{bottom}"),
    };
    Drill {
        name,
        diameter: Length::new::<inch>(f64::from(sixtyfourths) / 64.0),
    }
}

fn sorted(mut drills: Vec<Drill>) -> Vec<Drill> {
    drills.sort_by(|a, b| a.diameter.value.total_cmp(&b.diameter.value));
    drills
}

/// Returns a set by its name, smallest drill first.
pub(super) fn set(name: &str) -> Option<&'static [Drill]> {
    let name = name.trim().to_lowercase();
    let found = SETS.iter().find(|(known, _)| *known == name);
    found.map(|(_, drills)| drills.as_slice())
}

impl Drill {
    /// Returns a drill of this diameter by its name: a stocked drill's, else its millimetres.
    pub(crate) fn of(diameter: Length) -> Self {
        let mut known = set("any").into_iter().flatten();
        let known = known.find(|drill| same(drill.diameter, diameter));
        let name = known.map_or_else(|| in_millimetres(diameter), |drill| drill.name.clone());
        Self { name, diameter }
    }
}

impl Stock<'_> {
    /// Returns the drills to choose from, smallest first. `argument` is the index of the
    /// argument that names them.
    ///
    /// # Errors
    /// A fault when the set is not known, or when the list of owned drills is
    /// empty, too long or holds a length that is no diameter.
    pub(crate) fn drills(self, argument: usize) -> Result<Cow<'static, [Drill]>, Fault> {
        match self {
            Stock::Set(name) => set(name).map(Cow::Borrowed).ok_or_else(|| {
                let known = SETS.each_ref().map(|(known, _)| *known);
                let otherwise = "name one of these, or list the drills owned";
                let asked = ("set of drills", name);
                unknown(asked, "the library", &known, [], otherwise).in_argument(argument)
            }),
            Stock::Owned([]) => Err(Fault::new("the list of drills owned is empty")
                .advise("list their diameters, such as `[3.3, 4.2, 5] mm`, or name a set")
                .in_argument(argument)),
            Stock::Owned(owned) if owned.len() > MOST_OWNED => Err(Fault::new(format!(
                "the list holds {} drills; at most {MOST_OWNED} are looked through",
                owned.len()
            ))
            .in_argument(argument)),
            Stock::Owned(owned) => {
                let drills = owned.iter().copied().map(Drill::of).collect();
                Ok(Cow::Owned(sorted(drills)))
            }
        }
    }

    /// Returns what is searched, in words.
    pub(crate) fn searched(self) -> String {
        match self {
            Stock::Set(name) => match name.trim().to_lowercase().as_str() {
                "any" => "all drills".to_owned(),
                set => format!("{set} drills"),
            },
            Stock::Owned([_]) => "the 1 drill owned".to_owned(),
            Stock::Owned(owned) => format!("the {} drills owned", owned.len()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_set_rises_and_holds_no_drill_twice() {
        for name in ["metric", "number", "letter", "fraction"] {
            let drills = set(name).unwrap();
            assert!(
                drills.windows(2).all(|p| p[0].diameter < p[1].diameter),
                "{name}"
            );
        }
        // ANSI/ASME B94.11M: 97 number drills, 26 letter drills.
        assert_eq!(set("number").map(<[Drill]>::len), Some(97));
        assert_eq!(set("letter").map(<[Drill]>::len), Some(26));
    }

    #[test]
    fn metric_drills_are_stocked_in_steps_that_grow() {
        let has = |mm: f64| {
            let mut drills = set("metric").unwrap().iter();
            drills.any(|drill| same(drill.diameter, metric(mm).diameter))
        };
        // ISO 235, from memory.
        for stocked in [
            0.3, 0.98, 1.05, 2.95, 3.0, 3.1, 6.75, 6.8, 13.9, 14.0, 15.25, 32.0, 50.5, 51.0, 52.0,
            100.0,
        ] {
            assert!(has(stocked), "{stocked}");
        }
        for odd in [0.33, 3.15, 6.85, 14.1, 32.25, 51.5] {
            assert!(!has(odd), "{odd}");
        }
    }

    #[test]
    fn fractions_are_named_in_lowest_terms() {
        let names: Vec<String> = [1, 32, 54, 64, 65, 80].map(|n| fraction(n).name).into();
        assert_eq!(names, ["1/64", "1/2", "27/32", "1 in", "1 1/64", "1 1/4"]);
    }
}
