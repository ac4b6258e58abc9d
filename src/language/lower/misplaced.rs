//! Tolerances where they can't be: inside a formula, without brackets, as a quotient.

use crate::diagnostic::{Diagnostic, Span};
use crate::quantity::{Dimension, Unit};
use crate::syntax::{Expression, Kind, Operator, Tolerance, print_expression};
use crate::trade::iso286::is_class;

/// Returns what is wrong with a tolerance that stands in a chain of operators, or with two
/// deviations that were written without brackets.
pub(super) fn chained_size(chain: &Expression, allowed: bool) -> Option<Diagnostic> {
    let Kind::Chain(first, links) = &chain.kind else {
        return None;
    };
    if let Some(deviations) = open_deviations(first, links) {
        let size = print_expression(first);
        let place = Span::new(first.span.end as usize, chain.span.end as usize);
        return Some(
            Diagnostic::error("two deviations go in brackets", place)
                .advise(format!("write `{size} {deviations}`")),
        );
    }
    if !allowed {
        // That is told of the tolerance itself.
        return None;
    }
    if let Some((bare, tolerance)) = without_last_tolerance(chain) {
        let kind = Kind::Group(Box::new(bare));
        let group = Box::new(Expression { kind, ..*chain });
        let kind = Kind::Size(group, tolerance);
        let written = print_expression(&Expression { kind, ..*chain });
        let message = "a tolerance after a formula would count for its last part only";
        return Some(
            Diagnostic::error(message, chain.span)
                .advise(format!("put brackets round the formula: `{written}`")),
        );
    }
    let mut inside = None;
    for part in std::iter::once(&**first).chain(links.iter().map(|(_, part)| part)) {
        if let Kind::Size(value, _) = &part.kind {
            inside = inside.or(Some(Span::new(
                value.span.end as usize,
                part.span.end as usize,
            )));
        }
    }
    let halved = matches!(
        (&first.kind, links.first()),
        (Kind::Size(_, Tolerance::PlusMinus(..)), Some((Operator::Over, below)))
            if matches!(below.kind, Kind::Quantity(..))
    );
    if halved {
        let message = "only two whole numbers make a fraction in a tolerance";
        return Some(
            Diagnostic::error(message, chain.span)
                .advise("write `±0.05` as one number, or `±1/64`"),
        );
    }
    inside.map(|place| {
        Diagnostic::error("a formula can't have a tolerance inside it", place)
            .advise("give the size a cell of its own, and its tolerance there")
    })
}

/// Returns what is wrong with `12 mm H7/g6`, a fit, which is a hole and a shaft.
pub(super) fn fit_written_as_a_quotient(
    first: &Expression,
    links: &[(Operator, Expression)],
) -> Option<Diagnostic> {
    let Kind::Size(size, Tolerance::Class(hole)) = &first.kind else {
        return None;
    };
    let [(Operator::Over, shaft)] = links else {
        return None;
    };
    let Kind::Name(shaft_class) = &shaft.kind else {
        return None;
    };
    is_class(shaft_class).then(|| {
        let size_text = print_expression(size);
        let place = Span::new(size.span.end as usize, shaft.span.end as usize);
        Diagnostic::error("a fit is a hole and a shaft, each with its class", place).advise(
            format!("write `fit({size_text}, \"{hole}/{shaft_class}\")`, or a size for each"),
        )
    })
}

/// Returns a chain without the tolerance at its end, and that tolerance.
fn without_last_tolerance(chain: &Expression) -> Option<(Expression, Tolerance)> {
    match &chain.kind {
        Kind::Size(value, tolerance) => Some(((**value).clone(), tolerance.clone())),
        Kind::Chain(first, links) => {
            let (last, links) = links.split_last()?;
            let alone = |part: &Expression| !matches!(part.kind, Kind::Size(..));
            if last.0.strength() < Operator::Plus.strength()
                || !alone(first)
                || !links.iter().all(|(_, part)| alone(part))
            {
                return None;
            }
            let (bare, tolerance) = without_last_tolerance(&last.1)?;
            let mut links = links.to_vec();
            links.push((last.0, bare));
            let kind = Kind::Chain(first.clone(), links);
            Some((Expression { kind, ..*chain }, tolerance))
        }
        _ => None,
    }
}

/// `+0.02 -0.01` or `+0.02/-0.01` behind a size, as two deviations in brackets.
fn open_deviations(size: &Expression, links: &[(Operator, Expression)]) -> Option<String> {
    let Kind::Quantity(_, unit) = &size.kind else {
        return None;
    };
    let bare = |part: &Expression| match &part.kind {
        Kind::Quantity(number, unit) if *unit == Unit::NONE => Some(number.value()),
        _ => None,
    };
    if unit.dimension() == Dimension::NONE {
        return None;
    }
    let signed = |operator: Operator, value: f64| match operator {
        Operator::Plus => Some(format!("{value:+}")),
        Operator::Minus => Some(format!("{:+}", -value)),
        _ => None,
    };
    match links {
        [(a, first), (b, second)] => Some(format!(
            "({}/{})",
            signed(*a, bare(first)?)?,
            signed(*b, bare(second)?)?
        )),
        [(a, joined)] => {
            let Kind::Chain(first, below) = &joined.kind else {
                return None;
            };
            let [(Operator::Over, below)] = below.as_slice() else {
                return None;
            };
            let below = match &below.kind {
                Kind::Negate(value) => format!("{:+}", -bare(value)?),
                _ => bare(below)?.to_string(),
            };
            Some(format!("({}/{below})", signed(*a, bare(first)?)?))
        }
        _ => None,
    }
}
