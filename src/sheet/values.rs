//! What the rows of a sheet say about their values.

use super::build::Builder;
use super::formatted_value::FormattedValue;
use super::model::{Grid, Row, RowKind, RowState, joined};
use super::record_rows::{data_of, without_noise};
use crate::language::{Size, SlotId, Table, Value};
use crate::notebook::{CheckLimits, Known, Limits, Monotonicity, READING_SLACK, Verdict, too_far};
use crate::quantity::{Quantity, Side, Style, Unit, count, decimals_for, ratio_ends};

impl Builder<'_> {
    /// Puts a value into its row.
    pub(super) fn value(&self, row: &mut Row, slot: SlotId, value: &Value) {
        row.data = self.data(|| data_of(&self.writer, value));
        row.written = self.writer.value(value);
        match (row.kind, value) {
            (RowKind::Check, Value::Truth(holds)) => {
                (row.state, row.status) = self.check_status(slot, *holds);
            }
            (RowKind::Vary, _) => self.vary(row, slot),
            (RowKind::Draw, Value::Record(record)) => self.picture(row, slot, record),
            (_, Value::Table(table)) => self.table(row, slot, table),
            (_, Value::List(items)) => self.ranges(row, slot, items),
            (_, Value::Quantity(_) | Value::Size(_)) => {
                self.number(row, slot, value);
                self.shorten_ratio(row, slot, value);
            }
            (_, Value::Record(record)) => match record.scalar_value {
                Some(lead) => {
                    row.other = self.writer.other(lead);
                    self.range(row, slot, lead);
                }
                None => self.record(row, slot, record),
            },
            _ => {}
        }
        row.text = match (row.kind, value) {
            (RowKind::Check, _) => row.status.clone(),
            (RowKind::Op, Value::List(steps)) if self.is_for_each(slot) => {
                count(steps.len(), "line")
            }
            (RowKind::Op, Value::List(values)) => {
                row.parts = self.op_parts(slot, values);
                let text: String = row.parts.iter().map(|part| part.text.as_str()).collect();
                text.trim().to_owned()
            }
            (RowKind::Vary, _) => count(row.grid.as_ref().map_or(0, |grid| grid.rows.len()), "row"),
            _ => row.written.line(),
        };
    }

    /// Puts a number into its row: its limits, what it is worked to, and what a reading says.
    fn number(&self, row: &mut Row, slot: SlotId, value: &Value) {
        let Ok(in_use) = value.quantity() else { return };
        let unit = self.writer.unit(in_use);
        let shown = |si: f64| Some(without_noise(Quantity { si, ..in_use }.in_unit(unit)));
        row.other = self.writer.other(in_use);
        let drawn = self.workspace.faces.get(&slot);
        let drawn = drawn.and_then(|faces| faces.drawn.as_ref().ok()?.quantity().ok());
        row.drawn = drawn.and_then(|drawn| shown(drawn.si)).or(shown(in_use.si));
        row.aim = shown(in_use.si);
        match value.size_faces() {
            Some(size) => {
                row.aim = shown(size.aim);
                row.reading = size.reading.and_then(shown);
                row.other = self.writer.other(size.like(size.aim));
                match &size.limits {
                    Some(limits) => {
                        (row.low, row.high) = (shown(limits.low), shown(limits.high));
                        let (ends, aim) = self.writer.allowed(size).unwrap_or_default();
                        row.limits = ends;
                        if let Some(aim) = aim {
                            row.status = aim;
                        }
                    }
                    None => self.range(row, slot, size.like(size.aim)),
                }
                self.measured(row, slot, size);
            }
            None => self.range(row, slot, in_use),
        }
        if self
            .workspace
            .faces
            .get(&slot)
            .is_some_and(|faces| faces.decides_otherwise)
            && let Some(drawn) = drawn.filter(|drawn| drawn.si != in_use.si)
        {
            let drawn = self.writer.in_unit(drawn, unit).line();
            push(&mut row.status, &format!("at the drawn figures {drawn}"));
        }
    }

    /// Puts in what a result may come out as.
    fn range(&self, row: &mut Row, slot: SlotId, value: Quantity) {
        let Some(limits) = self.travel.of_slot(slot) else {
            return;
        };
        let unit = self.writer.unit(value);
        let shown = |si: f64| Some(without_noise(Quantity { si, ..value }.in_unit(unit)));
        if let Some((low, high)) = limits.range() {
            (row.low, row.high) = (shown(low), shown(high));
        }
        row.steps = limits.course == Monotonicity::Steps;
        if let Some((known, text)) = self.range_text(value, limits, None) {
            row.limits_known = Some(known.word());
            row.limits = text;
        }
    }

    /// Puts in what each value of a list may come out as.
    fn ranges(&self, row: &mut Row, slot: SlotId, items: &[Value]) {
        let Some(found) = self.travel.items.get(&slot) else {
            return;
        };
        let mut worst = None;
        let texts = items.iter().zip(found).map(|(item, limits)| {
            let range = item.quantity().ok().zip(limits.as_ref());
            match range.and_then(|(value, limits)| self.range_text(value, limits, None)) {
                Some((known, text)) => {
                    worst = worst.max(Some(known));
                    text
                }
                None => self.writer.value(item).number,
            }
        });
        let texts: Vec<String> = texts.collect();
        if let Some(worst) = worst {
            row.limits = texts.join(", ");
            row.limits_known = Some(worst.word());
        }
    }

    /// Returns what a result may come out as, in words, and how that is known; nothing where
    /// it stays as it is. `ratio` is the result where it is printed as a ratio.
    pub(super) fn range_text(
        &self,
        value: Quantity,
        limits: &Limits,
        ratio: Option<&str>,
    ) -> Option<(Known, String)> {
        if let Some((low, high)) = limits.range() {
            let mut text = match ratio {
                Some(printed) => ratio_ends(printed, low, high),
                None => self.writer.possible(value, low, high),
            };
            if limits.known == Known::Enclosed {
                text.insert_str(0, "within ");
            }
            if limits.course == Monotonicity::Steps {
                text += " in steps";
            }
            return Some((limits.known, text));
        }
        let peaks = limits.course == Monotonicity::Turns && limits.low < limits.high;
        let peaks = peaks.then_some("peaks between the limits");
        let unknown = limits.course.without_limits().or(peaks)?;
        Some((Known::Unknown, unknown.to_owned()))
    }

    /// Puts in what a reading says: the row of the size keeps its own figures, that of the reading
    /// shows it.
    fn measured(&self, row: &mut Row, slot: SlotId, size: &Size) {
        let Some(latest) = size.reading else { return };
        let unit = self.writer.unit(size.value);
        let show = |si: f64| self.writer.in_unit(size.like(si), unit).line();
        if row.kind != RowKind::Measured {
            row.written = self.writer.size(size);
            row.state = RowState::Measured;
            push(&mut row.status, &format!("measured {}", show(latest)));
            return;
        }
        row.other = self.writer.other(size.value);
        row.written = self.writer.in_unit(size.value, unit);
        let reading = size.value.si;
        let possible = self.travel.possible.get(&slot);
        let away = |low: f64, high: f64| {
            let by = too_far(reading, low, high)?;
            let word = if by < 0.0 { "small" } else { "large" };
            Some(format!("{} too {word}", self.difference(size, by.abs())))
        };
        (row.state, row.status) = match (&size.limits, possible.and_then(Limits::range)) {
            (Some(limits), _) => match away(limits.low, limits.high) {
                Some(by) => (RowState::Outside, format!("outside, {by}")),
                None => (RowState::Inside, "inside".to_owned()),
            },
            (None, Some((low, high))) => match away(low, high) {
                Some(by) => (
                    RowState::Impossible,
                    format!("further out than its sizes allow, {by}"),
                ),
                None => (RowState::Measured, "possible".to_owned()),
            },
            (None, None) => (RowState::Measured, "measured".to_owned()),
        };
        push(&mut row.status, &self.off_the_aim(size, reading - size.aim));
        // Of several readings the last counts; it tells of their spread.
        if reading == latest
            && let Some(readings) = self.readings.get(&slot)
            && readings.count > 1
            && readings.latest == latest
        {
            let spread = self.difference(size, readings.most - readings.least);
            push(
                &mut row.status,
                &format!("{} readings, spread {spread}", readings.count),
            );
        }
    }

    /// Returns how far a reading is from the aim, in the digits of an aim; what is less than
    /// their last nobody can measure.
    fn off_the_aim(&self, size: &Size, off: f64) -> String {
        let unit = self.writer.unit(size.value);
        let decimals = decimals_for(unit).filter(|_| unit.style() == Style::Decimal);
        let (off, unit) = match decimals {
            Some(usual) => {
                let step = unit.factor() / 10_f64.powi(i32::try_from(usual + 1).unwrap_or(4));
                (
                    (off / step).round() * step,
                    unit.styled(Style::AllDigits(Side::Nearest)),
                )
            }
            None => (off, unit),
        };
        if off.abs() <= READING_SLACK.max(1e-9 * size.aim.abs()) {
            return "at the aim".to_owned();
        }
        let sign = if off > 0.0 { "+" } else { "" };
        format!("{sign}{} from the aim", self.in_words(size, off, unit))
    }

    /// Returns a difference of two values of a size, with its unit.
    fn difference(&self, size: &Size, si: f64) -> String {
        self.in_words(size, si, self.writer.unit(size.value))
    }

    fn in_words(&self, size: &Size, si: f64, unit: Unit) -> String {
        let off = Quantity { si, ..size.value };
        if unit.from_another_zero() {
            let off = Quantity {
                unit: Unit::NONE,
                ..off
            };
            return self.writer.quantity(off).line();
        }
        self.writer.in_unit(off, unit).line()
    }

    /// Returns what a check comes to, where the sizes are aimed and at the limits.
    fn check_status(&self, slot: SlotId, holds: bool) -> (RowState, String) {
        let at_limits = self.travel.checks.get(&slot);
        let verdict = at_limits.map_or(Verdict::of(holds), CheckLimits::verdict);
        match (verdict, at_limits) {
            (Verdict::MayFail, Some(check)) => (RowState::MayFail, self.may_fail(check)),
            (Verdict::NotKnown, Some(check)) => (RowState::NotKnown, not_known(check)),
            (Verdict::Holds, _) | (Verdict::MayFail | Verdict::NotKnown, None) => {
                (RowState::Holds, Verdict::Holds.to_string())
            }
            (Verdict::Fails, _) => {
                let missing = self.workspace.margin(slot).filter(|margin| margin.si < 0.0);
                let text = missing.map_or("fails".to_owned(), |margin| {
                    let missing = Quantity {
                        si: -margin.si,
                        ..margin
                    };
                    format!("fails: misses by {}", self.writer.amount(missing))
                });
                (RowState::Fails, text)
            }
        }
    }

    /// Returns how a check may fail: by how much at the limits, and which size drives that.
    fn may_fail(&self, check: &CheckLimits) -> String {
        let word = Verdict::MayFail;
        let Some((limits, margin)) = check.worst() else {
            return word.to_string();
        };
        let missing = self.writer.amount(Quantity {
            si: limits.low.abs(),
            ..*margin
        });
        let driver = limits
            .shares
            .first()
            .map(|share| self.workspace.name_of(share.source.slot));
        let driver = driver.map_or(String::new(), |name| format!(", driven most by {name}"));
        let (middle, half) = limits.root_sum_square();
        let root = if limits.bends {
            "it bends between the limits: samples tell how many parts fail"
        } else if middle - half >= 0.0 {
            "root-sum-square holds"
        } else {
            "root-sum-square misses too"
        };
        format!("{word}: misses by {missing} at the limits{driver}; {root}")
    }

    pub(super) fn grid(&self, table: &Table) -> Grid {
        let write = |row: &Vec<Value>| row.iter().map(|value| self.writer.value(value)).collect();
        let rows = table.rows.iter().map(write).collect();
        Grid {
            columns: table.columns.iter().map(ToString::to_string).collect(),
            rows,
            ..Grid::default()
        }
    }

    /// Returns a record as a grid of its fields.
    pub(super) fn fields<'a>(&self, fields: impl Iterator<Item = (&'a str, &'a Value)>) -> Grid {
        let rows =
            fields.map(|(name, value)| vec![FormattedValue::text(name), self.writer.value(value)]);
        Grid {
            rows: rows.collect(),
            ..Grid::default()
        }
    }
}

/// Adds to a status what else it says.
fn push(status: &mut String, more: &str) {
    let before = if status == "computed" { "" } else { &**status };
    *status = joined(&[before, more]);
}

/// Returns why nothing is known of a check at the limits.
fn not_known(check: &CheckLimits) -> String {
    let is = |course| {
        let mut margins = check.margins.iter();
        margins.any(|(limits, _)| limits.course == course)
    };
    let why = if is(Monotonicity::Varied) {
        "it rests on a what-if table, whose limits are unknown"
    } else if is(Monotonicity::Breaks) {
        "it has no value at some limits"
    } else if check.known == Known::Searched {
        "it holds for every part that was tried, which is no proof"
    } else {
        "its limits take too many steps"
    };
    format!("{}: {why}", Verdict::NotKnown)
}
