//! What a check comes to when its limits are counted in.

use std::fmt;

use super::CheckLimits;

/// Whether a check holds, and for which parts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// It holds wherever between their limits the sizes stand.
    Holds,
    /// It holds where the sizes are aimed, but parts within their limits may fail it, or
    /// its limits take too many steps.
    MayFail,
    /// It fails.
    Fails,
}

impl Verdict {
    /// The verdict on a check without limits.
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
            Self::Fails => "fails",
        })
    }
}

impl CheckLimits {
    /// The verdict.
    #[must_use]
    pub const fn verdict(&self) -> Verdict {
        match (self.told, self.holds, self.holds_at_limits) {
            (_, false, _) => Verdict::Fails,
            (true, true, true) => Verdict::Holds,
            _ => Verdict::MayFail,
        }
    }
}
