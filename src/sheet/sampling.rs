//! What sampling brought, as rows and as text.

use comfy_table::{Cell, Row as TableRow};
use serde::Serialize;

use super::formatted_value::Writer;
use super::narrow;
use super::terminal_grid::aligned;
use super::terminal_style::{TerminalStyle, plain_table, push_table};
use crate::diagnostic::one_line;
use crate::notebook::{Sampled, Settings, Spread, Statistics, Workspace};
use crate::quantity::{Quantity, significant};

/// What the samples of one result came to, in its shown unit.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SamplingRow {
    /// Its name, or its formula where it has none.
    pub name: String,
    /// The unit of the figures.
    pub unit: String,
    /// In how many samples it has a value.
    pub count: u64,
    /// In how many it has none.
    pub missing: u64,
    /// The mean.
    pub mean: f64,
    /// The standard deviation.
    pub deviation: f64,
    /// 0.135 % of the samples lie below.
    pub low: f64,
    /// 0.135 % of the samples lie above.
    pub high: f64,
    /// The least sample.
    pub least: f64,
    /// The greatest sample.
    pub most: f64,
    /// The samples in each bar of the histogram.
    pub bars: Vec<u64>,
    /// Where the first bar begins.
    pub bars_from: f64,
    /// How wide a bar is.
    pub bar: f64,
    #[serde(skip)]
    texts: [String; 4],
}

/// How often a check held.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SamplingCheck {
    /// Its condition.
    pub check: String,
    /// In how many samples it held.
    pub holds: u64,
    /// In how many it failed.
    pub fails: u64,
    /// In how many it had no answer.
    pub missing: u64,
    /// The share of samples in which it does not hold, in parts per million.
    pub outside_ppm: f64,
}

/// What sampling brought.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Sampling {
    /// How many samples.
    pub samples: u64,
    /// The seed.
    pub seed: u64,
    /// `normal` or `even`.
    pub spread: &'static str,
    /// The results.
    pub rows: Vec<SamplingRow>,
    /// The checks.
    pub checks: Vec<SamplingCheck>,
}

impl Sampling {
    /// Returns the figures of a sampled notebook, in its shown units.
    #[must_use]
    pub fn of(workspace: &Workspace, sampled: &Sampled) -> Self {
        let standard = Settings::default();
        let settings = workspace.main().map_or(&standard, |page| &page.settings);
        let writer = Writer::new(settings);
        let rows = sampled.rows.iter().filter_map(|row| {
            let value = workspace.value(row.slot)?.quantity().ok()?;
            let name = one_line(&workspace.name_of(row.slot));
            figures(&writer, name, value, &row.tally)
        });
        let checks = sampled.checks.iter().map(|check| SamplingCheck {
            check: one_line(workspace.name_of(check.slot).trim_start_matches("check")),
            holds: check.holds,
            fails: check.fails,
            missing: check.missing,
            outside_ppm: check.outside_ppm(),
        });
        Self {
            samples: sampled.request.count,
            seed: sampled.request.seed,
            spread: match sampled.request.spread {
                Spread::Normal => "normal",
                Spread::Even => "even",
            },
            rows: rows.collect(),
            checks: checks.collect(),
        }
    }
}

fn figures(
    writer: &Writer,
    name: String,
    like: Quantity,
    tally: &Statistics,
) -> Option<SamplingRow> {
    let unit = writer.unit(like);
    let at = |si: f64| Quantity { si, ..like };
    // A spread counts from no other zero, and is small: it gets a figure more.
    let zero = Quantity { si: 0.0, ..like }.in_unit(unit);
    let width = |si: f64| at(si).in_unit(unit) - zero;
    let (low, high) = tally.points()?;
    let (least, most) = tally.ends()?;
    let text = |si: f64| writer.in_unit(at(si), unit).number;
    let deviation = significant(width(tally.deviation()), 3);
    Some(SamplingRow {
        name,
        unit: unit.symbol(),
        count: tally.count,
        missing: tally.missing,
        mean: at(tally.mean()).in_unit(unit),
        deviation: width(tally.deviation()),
        low: at(low).in_unit(unit),
        high: at(high).in_unit(unit),
        least: at(least).in_unit(unit),
        most: at(most).in_unit(unit),
        bars: tally.bars.to_vec(),
        bars_from: at(tally.from).in_unit(unit),
        bar: width(tally.step),
        texts: [text(tally.mean()), deviation, text(low), text(high)],
    })
}

/// From this width on there is room for every bar.
const WIDE: u16 = 96;

/// Returns a histogram of one line; where there is little room, two bars become one.
fn histogram(bars: &[u64], room: bool) -> String {
    let bars: Vec<u64> = bars
        .chunks(if room { 1 } else { 2 })
        .map(|bars| bars.iter().sum())
        .collect();
    const LEVELS: [char; 9] = [' ', '▁', '▂', '▃', '▄', '▅', '▆', '▇', '█'];
    let most = bars.iter().copied().max().unwrap_or(0).max(1);
    let level = |bar: &u64| {
        // A bar that holds anything shows.
        let part = (bar * 8).div_ceil(most);
        usize::try_from(part)
            .ok()
            .and_then(|part| LEVELS.get(part))
            .copied()
            .unwrap_or(' ')
    };
    bars.iter().map(level).collect()
}

/// Returns what sampling brought, for a terminal.
#[must_use]
pub fn sampling_text(sampling: &Sampling, look: TerminalStyle) -> String {
    let spread = match sampling.spread {
        "even" => "every size as likely as any other between its limits",
        _ => "sizes spread normally, their limits three standard deviations from the middle",
    };
    let mut out = format!("{}\n", look.bold("Sampling"));
    let how = format!(
        "{} samples, seed {}; {spread}",
        sampling.samples, sampling.seed
    );
    narrow::wrapped(&mut out, &how, usize::from(look.width), 1, 1);
    let table = || {
        let mut table = plain_table(look);
        table.set_width(look.width.max(20) - 1);
        table
    };
    if sampling.rows.is_empty() && sampling.checks.is_empty() {
        return out + " nothing here depends on a size with limits\n";
    }
    let right = |text: &str| aligned(text, true);
    if !sampling.rows.is_empty() {
        let bars = look.width >= 76;
        let mut rows = table();
        let mut heading = vec![
            Cell::new("name"),
            right("mean"),
            right("deviation"),
            right("0.135 %"),
            right("99.865 %"),
            Cell::new(""),
        ];
        if bars {
            heading.push(Cell::new(""));
        }
        rows.set_header(TableRow::from(heading));
        for row in &sampling.rows {
            let mut cells = vec![Cell::new(&row.name)];
            cells.extend(row.texts.iter().map(|text| right(text)));
            cells.push(Cell::new(&row.unit));
            let mut last = String::new();
            if bars {
                last = histogram(&row.bars, look.width >= WIDE);
            }
            if row.missing > 0 {
                last = format!("{last} no value in {}", row.missing);
            }
            if !last.is_empty() {
                cells.push(Cell::new(last));
            }
            rows.add_row(TableRow::from(cells));
        }
        push_table(&mut out, &rows);
    }
    if !sampling.checks.is_empty() {
        let mut checks = table();
        for check in &sampling.checks {
            let outside = match check.fails + check.missing {
                0 => "holds in all".to_owned(),
                _ => format!("{} ppm outside", significant(check.outside_ppm, 3)),
            };
            checks.add_row([&outside, &check.check]);
        }
        push_table(&mut out, &checks);
    }
    out
}

/// Returns what sampling brought, as comma-separated values.
#[must_use]
pub fn sampling_csv(sampling: &Sampling) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    let _ = writer.write_record([
        "name",
        "unit",
        "count",
        "missing",
        "mean",
        "deviation",
        "low",
        "high",
        "least",
        "most",
        "outside_ppm",
    ]);
    for row in &sampling.rows {
        let numbers = [
            row.mean,
            row.deviation,
            row.low,
            row.high,
            row.least,
            row.most,
        ];
        let mut record = vec![row.name.clone(), row.unit.clone()];
        record.extend([row.count, row.missing].map(|count| count.to_string()));
        record.extend(numbers.map(|number| number.to_string()));
        record.push(String::new());
        let _ = writer.write_record(record);
    }
    for check in &sampling.checks {
        let mut record = vec![check.check.clone(), String::new()];
        record.extend([check.holds + check.fails, check.missing].map(|count| count.to_string()));
        record.extend([const { String::new() }; 6]);
        record.push(check.outside_ppm.to_string());
        let _ = writer.write_record(record);
    }
    super::no_formulas(&writer.into_inner().unwrap_or_default())
}
