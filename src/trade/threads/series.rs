//! The thread series: their names, their tables, what each computes.

use crate::trade::threads::Form;

/// A thread series.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Series {
    Metric,
    Unc,
    Unf,
    Unef,
    Uns,
    Un,
    American,
    SharpV,
    Bsw,
    Bsf,
    Whitworth,
    Ba,
    Me,
    Brass,
    Pipe,
    Trapezoidal,
    Acme,
}

impl Series {
    /// Returns the series a word names. `M`, `Tr` and `G` stand first.
    pub(super) fn named(word: &str, first: bool) -> Option<Self> {
        Some(match word {
            "M" if first => Series::Metric,
            "TR" if first => Series::Trapezoidal,
            "G" if first => Series::Pipe,
            "UNC" => Series::Unc,
            "UNF" => Series::Unf,
            "UNEF" => Series::Unef,
            "UNS" => Series::Uns,
            "UN" => Series::Un,
            "NC" | "NF" | "NEF" | "NS" | "NATIONAL" => Series::American,
            "V" => Series::SharpV,
            "BSW" => Series::Bsw,
            "BSF" => Series::Bsf,
            "WHIT" | "WHITWORTH" => Series::Whitworth,
            "BA" => Series::Ba,
            "ME" => Series::Me,
            "BRASS" => Series::Brass,
            "BSP" | "BSPP" => Series::Pipe,
            "ACME" => Series::Acme,
            _ => return None,
        })
    }

    /// Returns the series of the tables that its threads may be found in, the usual first.
    pub(super) const fn tables(self) -> &'static [&'static str] {
        match self {
            Series::Metric => &["ISO metric coarse", "ISO metric fine"],
            Series::Unc => &["UNC"],
            Series::Unf => &["UNF"],
            Series::Unef => &["UNEF"],
            Series::Uns => &["UNS"],
            Series::Un | Series::American | Series::SharpV => &["UNC", "UNF", "UNEF", "UNS"],
            Series::Bsw => &["BSW"],
            Series::Bsf => &["BSF"],
            Series::Whitworth => &["BSW", "BSF", "ME", "Brass"],
            Series::Ba => &["BA"],
            Series::Me => &["ME"],
            Series::Brass => &["Brass"],
            Series::Pipe => &["G"],
            Series::Trapezoidal => &["Tr"],
            Series::Acme => &["Acme"],
        }
    }

    /// Returns the form of its threads.
    pub(super) const fn form(self) -> Form {
        match self {
            Series::Metric => Form::Metric,
            Series::Unc | Series::Unf | Series::Unef | Series::Uns | Series::Un => Form::Unified,
            Series::American => Form::AmericanNational,
            Series::SharpV => Form::SharpV,
            Series::Ba => Form::BritishAssociation,
            Series::Trapezoidal => Form::Trapezoidal,
            Series::Acme => Form::Acme,
            Series::Bsw
            | Series::Bsf
            | Series::Whitworth
            | Series::Me
            | Series::Brass
            | Series::Pipe => Form::Whitworth,
        }
    }

    /// Returns the name under which a size and a pitch that no table has are calculated;
    /// none for a series that is nothing but its table.
    pub(super) const fn calculated(self) -> Option<&'static str> {
        match self {
            Series::Metric => Some("ISO metric"),
            Series::Uns | Series::Un => Some("UN"),
            Series::American => Some("American National"),
            Series::SharpV => Some("sharp V"),
            Series::Whitworth => Some("Whitworth"),
            Series::Trapezoidal => Some("Tr"),
            Series::Acme => Some("Acme"),
            _ => None,
        }
    }

    /// Returns under which name a thread of this series can be calculated from a pitch
    /// that the series does not have.
    pub(super) const fn special(self) -> Option<&'static str> {
        match self {
            Series::Unc | Series::Unf | Series::Unef => Some("UN"),
            Series::Bsw | Series::Bsf | Series::Me | Series::Brass => Some("Whitworth"),
            _ => None,
        }
    }

    /// Returns whether sizes and pitches are in millimetres.
    pub(super) const fn is_metric(self) -> bool {
        matches!(self, Series::Metric | Series::Trapezoidal)
    }
}
