//! The limits of an explained value: how far, from what, and what to tighten.

use serde::Serialize;

use super::numbers::comparisons;
use crate::language::{Size, SizeLimits, SlotId, Source, Value, deviation};
use crate::notebook::{
    Known, Limits, Monotonicity, SourceSize, ToleranceAnalysis, Verdict, Workspace, tighten,
};
use crate::quantity::{Quantity, Unit};
use crate::sheet::Writer;
use crate::syntax::{Number, Tolerance};

/// The limits of a value in its shown unit.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ExplainedLimits {
    /// The least value at the worst corners.
    pub low: f64,
    /// The greatest value at the worst corners.
    pub high: f64,
    /// The lower end of the root-sum-square range.
    pub root_sum_square_low: f64,
    /// The upper end of the root-sum-square range.
    pub root_sum_square_high: f64,
    /// The unit.
    pub unit: String,
    /// How it behaves between the limits, in words.
    pub course: &'static str,
    /// How the range is known: `proven`, `enclosed`, `searched` or `unknown`.
    pub known: &'static str,
    /// Where it peaks between the limits: the sizes at its least and at its greatest.
    pub places: Vec<Vec<PlacedSize>>,
    /// Worst case and root-sum-square as they are printed.
    pub texts: [String; 2],
}

/// A size that stands somewhere between its limits.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PlacedSize {
    /// Its name.
    pub name: String,
    /// Where it stands, with its unit.
    pub at: String,
}

/// A size that limits come from.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ExplainedSource {
    /// Its name.
    pub name: String,
    /// The size with its tolerance.
    pub size: String,
    /// What the value changes by when it stands at its lower limit, with its sign.
    pub at_low: String,
    /// The same at its upper limit.
    pub at_high: String,
    /// Its share in the worst case, in percent.
    pub percent: f64,
}

/// How much a comparison has to spare.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Margin {
    /// The comparison.
    pub comparison: String,
    /// What it has to spare with every size where it is aimed or was measured.
    pub at_size: String,
    /// What it has to spare at the worst corner.
    pub worst: String,
    /// What it has to spare by root-sum-square.
    pub root_sum_square: String,
    /// Whether it holds there: as aimed, at the worst, by root-sum-square.
    pub holds: [bool; 3],
}

/// What to tighten.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Tighten {
    /// The size.
    pub name: String,
    /// The size with its tolerance now.
    pub now: String,
    /// The size with the tolerance with which the check would hold; nothing where
    /// this size alone can't do it.
    pub to: Option<String>,
}

/// What explanations are made from.
pub struct Context<'a> {
    pub workspace: &'a Workspace,
    pub travel: &'a ToleranceAnalysis,
    pub writer: Writer<'a>,
}

impl Context<'_> {
    /// Returns a value on one line; a size as drawn.
    pub fn value_text(&self, value: &Value) -> String {
        match value {
            Value::Table(_) => value.to_string(),
            other => self.writer.value(other).line(),
        }
    }

    /// Returns the limits of a slot as they are printed.
    pub fn limits_text(&self, slot: SlotId) -> String {
        let Some(value) = self.workspace.value(slot) else {
            return String::new();
        };
        if let Some((ends, aim)) = value
            .size_faces()
            .and_then(|size| self.writer.allowed(size))
        {
            let aim = aim.map_or(String::new(), |aim| format!(", {aim}"));
            return format!("{ends}{aim}");
        }
        let value = value.quantity().ok();
        let Some((value, limits)) = value.zip(self.travel.of_slot(slot)) else {
            return String::new();
        };
        match (limits.range(), limits.course) {
            (Some((low, high)), _) if limits.known == Known::Enclosed => {
                format!("within {}", self.range(value, low, high))
            }
            (Some((low, high)), _) => self.range(value, low, high),
            (None, Monotonicity::Turns) if limits.low < limits.high => format!(
                "peaks; at least {}",
                self.range(value, limits.low, limits.high)
            ),
            (None, course) => course.without_limits().unwrap_or_default().to_owned(),
        }
    }

    fn range(&self, like: Quantity, low: f64, high: f64) -> String {
        let unit = self.writer.unit(like).symbol();
        let text = format!("{} {unit}", self.writer.possible(like, low, high));
        text.trim_end().to_owned()
    }

    /// Returns the limits of a slot, and the sizes they come from; for a check those of its
    /// worst margin.
    pub fn limits(&self, slot: SlotId) -> (Option<ExplainedLimits>, Vec<ExplainedSource>) {
        if let Some(check) = self.travel.checks.get(&slot) {
            let worst = check.worst();
            let sources = worst.map(|(limits, like)| self.sources(limits, *like));
            return (None, sources.unwrap_or_default());
        }
        let value = self
            .workspace
            .value(slot)
            .and_then(|value| value.quantity().ok());
        let Some((value, limits)) = value.zip(self.travel.of_slot(slot)) else {
            return (None, Vec::new());
        };
        let varied = limits.course == Monotonicity::Varied;
        if limits.low >= limits.high && limits.shares.is_empty() && !varied {
            return (None, Vec::new());
        }
        let unit = self.writer.unit(value);
        let number = |si: f64| match varied {
            true => f64::NAN,
            false => Quantity { si, ..value }.in_unit(unit),
        };
        let (middle, half) = limits.root_sum_square();
        let explained = ExplainedLimits {
            low: number(limits.low),
            high: number(limits.high),
            root_sum_square_low: number(middle - half),
            root_sum_square_high: number(middle + half),
            unit: unit.symbol(),
            known: limits.known.word(),
            places: if limits.course == Monotonicity::Turns {
                [&limits.low_at, &limits.high_at]
                    .map(|at| self.places(at))
                    .into()
            } else {
                Vec::new()
            },
            course: match limits.course {
                Monotonicity::Steady => "rises or falls steadily with each size",
                Monotonicity::Turns if limits.known == Known::Searched => {
                    "peaks between the limits: it reaches at least this far"
                }
                Monotonicity::Turns => "peaks between the limits",
                Monotonicity::Steps => "goes in steps",
                Monotonicity::Breaks => "has no value at some limits",
                Monotonicity::Untold => "takes too many steps to find out",
                Monotonicity::Varied => "rests on a what-if table, worked out at plain values",
            },
            texts: [
                if varied {
                    "not known".to_owned()
                } else {
                    self.range(value, limits.low, limits.high)
                },
                if varied {
                    "not known".to_owned()
                } else if limits.bends {
                    "says nothing: it bends between the limits; see `--samples`".to_owned()
                } else {
                    self.range(value, middle - half, middle + half)
                },
            ],
        };
        (Some(explained), self.sources(limits, value))
    }

    fn sources(&self, limits: &Limits, like: Quantity) -> Vec<ExplainedSource> {
        let all: f64 = limits.shares.iter().map(|share| share.half_swing()).sum();
        let all = all + limits.others.swing;
        let mut found = Vec::new();
        for share in &limits.shares {
            let known = self.travel.sources.iter();
            let Some(size) = known.into_iter().find(|known| known.source == share.source) else {
                continue;
            };
            found.push(ExplainedSource {
                name: self.workspace.name_of(share.source.slot),
                size: self.size_text(size, size.lower, size.upper, size.class.as_deref()),
                at_low: self.change(like, share.at_low),
                at_high: self.change(like, share.at_high),
                percent: if all > 0.0 {
                    share.half_swing() / all * 100.0
                } else {
                    0.0
                },
            });
        }
        found
    }

    /// Returns the sizes that stand somewhere between their limits.
    fn places(&self, at: &[(Source, f64)]) -> Vec<PlacedSize> {
        let placed = |(source, part): &(Source, f64)| {
            let mut known = self.travel.sources.iter();
            let size = known.find(|known| known.source == *source)?;
            let si = size.size.si + deviation(*part, size.lower, size.upper);
            let at = self.writer.quantity(Quantity { si, ..size.size });
            Some(PlacedSize {
                name: self.workspace.name_of(source.slot),
                at: at.line(),
            })
        };
        at.iter().filter_map(placed).collect()
    }

    /// Returns the sizes of one part that fails a check, though it holds as aimed.
    pub fn counterexample(&self, slot: SlotId) -> Vec<PlacedSize> {
        let check = self.travel.checks.get(&slot).filter(|check| check.holds);
        let found = check.and_then(|check| check.counterexample.as_deref());
        found.map_or(Vec::new(), |at| self.places(at))
    }

    /// Returns a change of a value, with its sign.
    fn change(&self, like: Quantity, si: f64) -> String {
        let like = Quantity {
            si,
            ..difference(like)
        };
        let text = self.writer.quantity(like).line();
        if si > 0.0 { format!("+{text}") } else { text }
    }

    /// Returns how far a comparison is from failing; below 0 where it fails.
    fn margin(&self, like: Quantity, si: f64) -> String {
        let sign = match si {
            0.0 => "",
            si if si > 0.0 => "+",
            _ => "-",
        };
        let amount = self.writer.amount(Quantity {
            si: si.abs(),
            ..difference(like)
        });
        format!("{sign}{amount}")
    }

    /// Returns a size with its tolerance, as a drawing gives it.
    fn size_text(&self, size: &SourceSize, lower: f64, upper: f64, class: Option<&str>) -> String {
        let tolerance = match class {
            Some(class) => Tolerance::Class(class.into()),
            // Its deviations are printed from its limits.
            None => Tolerance::PlusMinus(Number::Decimal(upper), None),
        };
        let drawn = Size {
            limits: Some(SizeLimits {
                low: size.size.si + lower,
                high: size.size.si + upper,
                tolerance,
            }),
            ..Size::drawn_as(size.size, size.size)
        };
        self.writer.size(&drawn).line()
    }

    /// Returns the margins of a check and what to tighten.
    pub fn check(&self, slot: SlotId, statement: &str) -> (Vec<Margin>, Vec<Tighten>) {
        let Some(check) = self.travel.checks.get(&slot) else {
            return (Vec::new(), Vec::new());
        };
        let texts = comparisons(statement);
        let mut margins = Vec::new();
        let judged =
            |(_, (limits, _)): &(usize, &(Limits, Quantity))| limits.course != Monotonicity::Varied;
        for (place, (limits, like)) in check.margins.iter().enumerate().filter(judged) {
            let (middle, half) = limits.root_sum_square();
            let slack = -crate::quantity::slack(*like);
            margins.push(Margin {
                comparison: texts.get(place).cloned().unwrap_or_default(),
                at_size: self.margin(*like, limits.nominal),
                worst: self.margin(*like, limits.low),
                root_sum_square: self.margin(*like, middle - half),
                holds: [limits.nominal, limits.low, middle - half].map(|spare| spare >= slack),
            });
        }
        let mut found = Vec::new();
        if check.verdict() == Verdict::MayFail {
            for one in tighten(self.workspace, self.travel, slot) {
                let size = &one.size;
                let to = one.needed.and_then(|needed| self.rounded(size, needed));
                found.push(Tighten {
                    name: self.workspace.name_of(size.source.slot),
                    now: self.size_text(size, size.lower, size.upper, size.class.as_deref()),
                    to: to.map(|(lower, upper)| self.size_text(size, lower, upper, None)),
                });
            }
        }
        (margins, found)
    }

    /// Returns deviations rounded inward to what is printed; nothing where nothing is left.
    /// Equal deviations to both sides stay equal.
    fn rounded(&self, size: &SourceSize, (lower, upper): (f64, f64)) -> Option<(f64, f64)> {
        let unit = self.writer.unit(size.size);
        let factor = unit.factor().abs();
        let places = crate::quantity::decimals_for(plain_unit(unit)).unwrap_or(3);
        let step = factor * 10_f64.powi(-i32::try_from(places).unwrap_or(3));
        let (mut lower, mut upper) = (
            (lower / step - 1e-6).ceil() * step,
            (upper / step + 1e-6).floor() * step,
        );
        if size.lower == -size.upper && lower <= 0.0 && upper >= 0.0 {
            let half = upper.min(-lower);
            if half > 0.0 {
                (lower, upper) = (-half, half);
            }
        }
        (lower < upper).then_some((lower, upper))
    }
}

/// Returns the same kind of quantity as a difference: temperatures then count in kelvins.
fn difference(like: Quantity) -> Quantity {
    if like.unit.from_another_zero() {
        Quantity {
            unit: Unit::NONE,
            ..like
        }
    } else {
        like
    }
}

/// Returns the unit without a style: tolerances are decimal numbers.
fn plain_unit(unit: Unit) -> Unit {
    unit.styled(crate::quantity::Style::Decimal)
}
