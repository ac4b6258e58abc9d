//! What a check comes to when its limits are counted in.

use std::fmt;

use super::results::{CheckLimits, Known};

/// Whether a check holds, and for which parts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// It holds wherever between their limits the sizes stand.
    Holds,
    /// It holds where the sizes are aimed, but parts within their limits fail it.
    MayFail,
    /// It holds where the sizes are aimed; whether it does for every part within the
    /// limits could not be shown.
    NotKnown,
    /// It fails.
    Fails,
}

impl Verdict {
    /// Returns the verdict on a check without limits.
    #[must_use]
    pub const fn of(holds: bool) -> Self {
        if holds { Self::Holds } else { Self::Fails }
    }
}

impl fmt::Display for Verdict {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str(match self {
            Self::Holds => "holds",
            Self::MayFail => "may fail",
            Self::NotKnown => "not known",
            Self::Fails => "fails",
        })
    }
}

impl CheckLimits {
    /// Returns the verdict.
    #[must_use]
    pub const fn verdict(&self) -> Verdict {
        match (self.holds, self.holds_at_limits, self.known) {
            (false, ..) => Verdict::Fails,
            (true, true, Known::Proven) => Verdict::Holds,
            (true, false, Known::Proven | Known::Searched) => Verdict::MayFail,
            _ => Verdict::NotKnown,
        }
    }
}
