//! The number of a notebook among those that are open together.

/// The number of a page in its workspace.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct PageId(u32);

impl PageId {
    /// The notebook that was opened.
    pub const MAIN: Self = Self(0);

    /// Returns the number of the page at a place among the pages.
    #[must_use]
    pub fn at(place: usize) -> Self {
        Self(u32::try_from(place).unwrap_or(u32::MAX))
    }

    /// Returns its place among the pages.
    #[must_use]
    pub const fn index(self) -> usize {
        self.0 as usize
    }
}
