//! Which pieces to cut from which bar.
//!
//! Lengths are worked in whole nanometres, so that pieces which fill a bar to
//! the last hundredth are seen to fit.

mod exact;
mod first_fit;

use serde::Serialize;
use uom::si::f64::Length;
use uom::si::length::{meter, nanometer};

use crate::diagnostic::Fault;
use crate::quantity::short;

/// The most pieces, and the most bars, of a job.
pub const MOST_PIECES: usize = 2_000;

/// The stock to cut from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Stock<'a> {
    /// These bars and no more.
    Bars(&'a [Length]),
    /// As many bars of one length as it takes.
    Unlimited(Length),
}

/// One bar and what is cut from it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CutBar {
    /// Number of the bar, from 1.
    pub bar: u32,
    /// Length of the bar.
    pub length: Length,
    /// The pieces, longest first.
    pub pieces: Vec<Length>,
    /// What is left of the bar after the last cut.
    pub left_over: Length,
}

/// A plan for cutting a job.
#[derive(Clone, Debug, PartialEq)]
pub struct CuttingList {
    /// The bars that are cut into, fullest first.
    pub bars: Vec<CutBar>,
    /// Length of those bars together.
    pub stock_used: Length,
    /// What is left over of them together.
    pub left_over: Length,
    /// Whether no plan needs less stock: proven by trying all that could. Otherwise
    /// the plan is the best found, by first fit or by as much of the search as was allowed.
    pub exact: bool,
}

/// The job in nanometres.
#[derive(Debug)]
struct Job {
    /// Lengths of the pieces with one cut each, longest first.
    pieces: Vec<i64>,
    /// Lengths of the bars, longest first; one where their number is unlimited.
    bars: Vec<i64>,
    unlimited: bool,
    cut: i64,
}

impl Job {
    /// Returns what a bar holds of pieces with their cuts: one cut more than its
    /// length, for the last piece needs none.
    fn holds(&self, bar: i64) -> i64 {
        bar + self.cut
    }
}

/// Bars cut into, each with the places of its pieces.
#[derive(Clone, Debug, Default)]
struct Plan {
    /// Length of the bar and the places of the pieces in it.
    bars: Vec<(i64, Vec<usize>)>,
}

impl Plan {
    /// Returns the length of the bars cut into.
    fn cost(&self) -> i64 {
        self.bars.iter().map(|(length, _)| length).sum()
    }
}

/// Returns a plan for cutting pieces from bars with the least length of bars cut into.
///
/// Every piece takes a cut of the saw, but for the last of a bar where no more
/// than a cut is left of it: that piece keeps the bar's end, up to one cut
/// longer than asked, to be faced off. Leave room for holding: give bars less
/// what the vice keeps, and pieces with their facing allowance.
///
/// A small job (up to 60 pieces and 60 bars) is searched by branch and bound, at most
/// 100000 steps; where that ends, the plan is proven best. Larger jobs are cut
/// first-fit: the longest pieces first, each from the first bar that still
/// holds it. `exact` says which.
///
/// Arguments: `stock`, the bars (mm); `pieces`, each length with how many are
/// wanted (mm, count); `cut`, width of the saw's cut (mm).
///
/// # Errors
/// A fault where an argument is out of bounds, where a piece is longer than
/// every bar, or where the bars don't hold the pieces.
///
/// Source: bin packing with first-fit decreasing (Johnson 1973) and branch and
/// bound on the total length; common practice for the saw's cut.
pub fn cutting_list(
    stock: Stock<'_>,
    pieces: &[(Length, u32)],
    cut: Length,
) -> Result<CuttingList, Fault> {
    let job = job(stock, pieces, cut)?;
    let first = first_fit::plan(&job);
    let (plan, proven) = exact::plan(&job, first);
    let Some(plan) = plan else {
        let wanted: i64 = job.pieces.iter().sum::<i64>();
        let held: i64 = job.bars.iter().sum::<i64>();
        return Err(Fault::new(if proven {
            format!(
                "the bars don't hold the pieces, however they are cut: with the saw's cuts the pieces take {} mm, the bars have {} mm",
                short(wanted as f64 / 1e6, 6),
                short(held as f64 / 1e6, 6)
            )
        } else {
            format!(
                "no way was found to cut the {} pieces from these {} bars, though not every way was tried",
                job.pieces.len(),
                job.bars.len()
            )
        })
        .advise("add a bar, or cut in two jobs")
        .in_argument(0));
    };
    Ok(written(&job, plan, proven))
}

/// Returns the job within bounds.
fn job(stock: Stock<'_>, pieces: &[(Length, u32)], cut: Length) -> Result<Job, Fault> {
    let whole = |metres: f64| (metres * 1e9).round() as i64;
    let kerf = whole(cut.get::<meter>());
    let (lengths, unlimited) = match &stock {
        Stock::Bars(lengths) => (*lengths, false),
        Stock::Unlimited(length) => (std::slice::from_ref(length), true),
    };
    if lengths.is_empty() || lengths.len() > MOST_PIECES {
        return Err(Fault::new(format!(
            "there must be from 1 to {MOST_PIECES} bars, found {}",
            lengths.len()
        ))
        .advise("list the lengths of the bars in hand")
        .in_argument(0));
    }
    let mut bars = Vec::new();
    for length in lengths {
        let nanometres = whole(length.get::<meter>());
        bars.push(nanometres.max(1));
    }
    let wanted: u64 = pieces.iter().map(|(_, count)| u64::from(*count)).sum();
    if wanted == 0 || wanted > MOST_PIECES as u64 {
        return Err(Fault::new(format!(
            "there must be from 1 to {MOST_PIECES} pieces, found {wanted}"
        ))
        .advise("give each piece as its length and how many")
        .in_argument(1));
    }
    let longest = bars.iter().copied().max().unwrap_or_default();
    let mut all = Vec::new();
    for (length, count) in pieces {
        let piece = whole(length.get::<meter>());
        if piece > longest {
            return Err(Fault::new(format!(
                "a piece of {} mm is longer than the longest bar, {} mm",
                short(piece as f64 / 1e6, 6),
                short(longest as f64 / 1e6, 6)
            ))
            .in_argument(1));
        }
        all.extend(std::iter::repeat_n((piece + kerf).max(1), *count as usize));
    }
    all.sort_unstable_by(|a, b| b.cmp(a));
    bars.sort_unstable_by(|a, b| b.cmp(a));
    Ok(Job {
        pieces: all,
        bars,
        unlimited,
        cut: kerf,
    })
}

/// Returns the plan as lengths.
fn written(job: &Job, plan: Plan, exact: bool) -> CuttingList {
    let length = |nanometres: i64| Length::new::<nanometer>(nanometres as f64);
    let mut bars: Vec<(i64, i64, Vec<i64>)> = plan
        .bars
        .into_iter()
        .map(|(bar, places)| {
            let with_cuts: Vec<i64> = places
                .iter()
                .filter_map(|place| job.pieces.get(*place).copied())
                .collect();
            let left = bar - with_cuts.iter().sum::<i64>();
            let pieces = with_cuts.iter().map(|piece| piece - job.cut).collect();
            (left.max(0), bar, pieces)
        })
        .collect();
    bars.sort_by(|a, b| a.0.cmp(&b.0).then_with(|| b.2.cmp(&a.2)));
    CuttingList {
        stock_used: length(bars.iter().map(|(_, bar, _)| bar).sum()),
        left_over: length(bars.iter().map(|(left, _, _)| left).sum()),
        bars: (1..)
            .zip(bars)
            .map(|(number, (left, bar, pieces))| CutBar {
                bar: number,
                length: length(bar),
                pieces: pieces.into_iter().map(length).collect(),
                left_over: length(left),
            })
            .collect(),
        exact,
    }
}
