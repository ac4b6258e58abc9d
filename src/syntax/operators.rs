//! Operators and their strength, in one table.

/// An operator between two operands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Operator {
    /// `or`
    Or,
    /// `and`
    And,
    /// `=`
    Equal,
    /// `!=`
    Unequal,
    /// `<`
    Less,
    /// `<=`
    AtMost,
    /// `>`
    More,
    /// `>=`
    AtLeast,
    /// `+`
    Plus,
    /// `-`
    Minus,
    /// `*`
    Times,
    /// `/`
    Over,
    /// `^`
    Power,
}

/// How strongly `not` binds: weaker than a comparison.
pub const NOT_STRENGTH: u8 = 3;
/// How strongly a sign binds: weaker than a power, so that `-2^2` is -4.
pub const SIGN_STRENGTH: u8 = 7;

impl Operator {
    /// Returns the operator written `text`.
    #[must_use]
    pub fn of(text: &str) -> Option<Self> {
        Some(match text {
            "or" => Self::Or,
            "and" => Self::And,
            "=" => Self::Equal,
            "!=" | "≠" => Self::Unequal,
            "<" => Self::Less,
            "<=" | "≤" => Self::AtMost,
            ">" => Self::More,
            ">=" | "≥" => Self::AtLeast,
            "+" => Self::Plus,
            "-" | "−" => Self::Minus,
            "*" | "·" | "×" => Self::Times,
            "/" => Self::Over,
            "^" => Self::Power,
            _ => return None,
        })
    }

    /// Returns how it is printed.
    #[must_use]
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Or => "or",
            Self::And => "and",
            Self::Equal => "=",
            Self::Unequal => "!=",
            Self::Less => "<",
            Self::AtMost => "<=",
            Self::More => ">",
            Self::AtLeast => ">=",
            Self::Plus => "+",
            Self::Minus => "-",
            Self::Times => "*",
            Self::Over => "/",
            Self::Power => "^",
        }
    }

    /// Returns how strongly it binds: a higher number binds first. Operators of one
    /// strength form one chain, worked from the left; only `^` goes from the right.
    #[must_use]
    pub const fn strength(self) -> u8 {
        match self {
            Self::Or => 1,
            Self::And => 2,
            Self::Equal
            | Self::Unequal
            | Self::Less
            | Self::AtMost
            | Self::More
            | Self::AtLeast => 4,
            Self::Plus | Self::Minus => 5,
            Self::Times | Self::Over => 6,
            Self::Power => 8,
        }
    }

    /// Returns whether it compares.
    #[must_use]
    pub const fn compares(self) -> bool {
        self.strength() == 4
    }
}
