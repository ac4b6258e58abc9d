//! The toleranced sizes of a workspace.

use std::sync::Arc;

use crate::language::{Evaluator, ResolvedExpr, SizeCode, Source};
use crate::notebook::Workspace;
use crate::notebook::trial::Trial;
use crate::notebook::view::Deviations;
use crate::quantity::Quantity;
use crate::syntax::Tolerance;

/// A toleranced size with its limits.
#[derive(Clone, Debug, PartialEq)]
pub struct SourceSize {
    /// Which tolerance it is.
    pub source: Source,
    /// The figure on the drawing.
    pub size: Quantity,
    /// The lower deviation, in coherent SI.
    pub lower: f64,
    /// The upper deviation, in coherent SI.
    pub upper: f64,
    /// Its class, where it has one.
    pub class: Option<Arc<str>>,
}

/// Returns all toleranced sizes whose limits are known.
#[must_use]
pub fn sources(workspace: &Workspace) -> Vec<SourceSize> {
    let mut codes: Vec<&SizeCode> = Vec::new();
    for slot in workspace.slots.iter().filter(|slot| slot.sized) {
        slot.content.walk(&mut |node| {
            node.walk(&mut |node| {
                if let ResolvedExpr::Size(size) = &node.code {
                    codes.push(size);
                }
            });
        });
    }
    if codes.is_empty() {
        return Vec::new();
    }
    let trial = Trial::new(workspace);
    let still = Deviations::default();
    let mut found = Vec::new();
    for size in codes {
        let limits = trial.with_view(&still, |cells| {
            Evaluator::new(cells).size_limits(size, &mut Vec::new(), 0)
        });
        if let Ok((nominal, lower, upper)) = limits {
            found.push(SourceSize {
                source: size.source,
                size: nominal,
                lower,
                upper,
                class: match &size.tolerance {
                    Tolerance::Class(class) => Some(class.clone()),
                    _ => None,
                },
            });
        }
    }
    found
}
