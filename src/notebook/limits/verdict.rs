//! What a check comes to when its limits are counted in.

use std::fmt;

use super::CheckLimits;

/// Whether a check holds, and for which parts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// It holds wherever between their limits the sizes stand.
    Holds,
    /// It holds at the drawing sizes, but not at every limit, or its limits take too
    /// many steps.
    DrawingOnly,
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
            Self::DrawingOnly => "drawing only",
            Self::Fails => "fails",
        })
    }
}

impl CheckLimits {
    /// The verdict. Where a drawing size lies outside its own limits, as that of a
    /// pin g6 does, the limits alone decide.
    #[must_use]
    pub const fn verdict(&self) -> Verdict {
        match (
            self.told,
            self.sizes_allowed,
            self.holds,
            self.holds_at_limits,
        ) {
            (true, false, _, holds) => Verdict::of(holds),
            (_, _, false, _) => Verdict::Fails,
            (true, true, true, true) => Verdict::Holds,
            _ => Verdict::DrawingOnly,
        }
    }
}
