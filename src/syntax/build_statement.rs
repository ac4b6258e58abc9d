//! From pest's pairs to statements.

use pest::Parser;
use pest::iterators::Pair;

use super::build::{
    Built, content, expression, find, formula, name_of, range, span_of, strange, text_of,
};
use super::build_draw::draw;
use super::build_literal::literal_parts;
use super::build_operation::operation;
use super::build_table::table;
use super::depth::Prose;
use super::rules::{NotebookParser, Rule};
use super::split::prose;
use super::wording::explain;
use super::{
    Expression, Formula, Kind, Name, OpEach, OpPart, Parameter, StatementKind, VaryRange, depth,
};
use crate::diagnostic::{Diagnostic, Span};
use crate::quantity::{Style, System};

pub(super) fn parse(rule: Rule, text: &str) -> Built<Pair<'_, Rule>> {
    let prose = if rule == Rule::statement {
        prose(text)
    } else {
        Prose::None
    };
    depth::check(text, prose)?;
    match NotebookParser::parse(rule, text) {
        Ok(mut pairs) => pairs
            .next()
            .ok_or_else(|| strange(Span::new(0, text.len()))),
        Err(error) => Err(explain(&error, text)),
    }
}

/// Parses one statement; `rows` are the rows of a table, their spans counted
/// from the statement's start.
///
/// # Errors
/// What can't be read: one diagnostic, for a table one a row.
pub fn statement(text: &str, rows: &[Span]) -> Result<StatementKind, Vec<Diagnostic>> {
    if let Some(first) = rows.first() {
        return table(text, *first, rows);
    }
    let pair = parse(Rule::statement, text).and_then(content);
    pair.and_then(single).map_err(|wrong| vec![wrong])
}

/// Parses an expression with its `where` clause.
///
/// # Errors
/// What can't be read.
pub fn whole_expression(text: &str) -> Built<Formula> {
    let pair = parse(Rule::whole_expression, text)?;
    formula(pair.into_inner(), Span::new(0, text.len()))
}

fn single(pair: Pair<Rule>) -> Built<StatementKind> {
    let span = span_of(&pair);
    let rule = pair.as_rule();
    let text = pair.as_str();
    let mut inner = pair.into_inner().peekable();
    let wordless = [
        Rule::section,
        Rule::cell,
        Rule::function,
        Rule::solve,
        Rule::vary_named,
        Rule::bare,
    ];
    if !wordless.contains(&rule) {
        inner.next();
    }
    let mut next = || inner.next().ok_or_else(|| strange(span));
    Ok(match rule {
        Rule::section => {
            if text.contains('\n') {
                let wrong = Diagnostic::error("a heading is one line long", span);
                return Err(wrong.advise("close it with `]` on its own line"));
            }
            StatementKind::Section(next()?.as_str().trim().to_owned())
        }
        Rule::title => {
            let title = next()?.as_str().trim();
            let advice = "write `title`, a blank, and the words";
            if title.contains('\n') {
                return Err(Diagnostic::error("a title is one line long", span).advise(advice));
            }
            // Without a blank its quotes and its `#` would mean what they do in a formula.
            let behind = text.strip_prefix("title");
            if !behind.is_some_and(|behind| behind.starts_with([' ', '\t'])) {
                return Err(Diagnostic::error("a blank stands behind `title`", span).advise(advice));
            }
            StatementKind::Title(title.to_owned())
        }
        Rule::cell => {
            let name = name_of(&next()?);
            StatementKind::Cell(name, formula(inner, span)?)
        }
        Rule::function => {
            let name = name_of(&next()?);
            let mut parameters = Vec::new();
            while let Some(pair) = inner.next_if(|pair| pair.as_rule() == Rule::parameter) {
                parameters.push(parameter(pair)?);
            }
            StatementKind::Function(name, parameters, formula(inner, span)?)
        }
        Rule::bare => {
            hyphened_name(text, span)?;
            StatementKind::Bare(formula(inner, span)?)
        }
        Rule::lengths => StatementKind::Lengths(lengths(inner)?),
        Rule::angles => StatementKind::Angles(angles(&next()?)?),
        Rule::readout => {
            let literal = next()?;
            let span = span_of(&literal);
            let (number, unit) = literal_parts(literal)?;
            StatementKind::Readout(Expression {
                kind: Kind::Quantity(number, unit),
                span,
            })
        }
        Rule::use_other => {
            let file = next()?;
            let alias = inner
                .find(|pair| pair.as_rule() == Rule::name)
                .map(|pair| name_of(&pair));
            use_other(&file, alias)?
        }
        Rule::measured => {
            let name = name_of(&next()?);
            StatementKind::Measured(name, expression(next()?)?)
        }
        Rule::aim => {
            let name = name_of(&next()?);
            StatementKind::Aim(name, expression(next()?)?)
        }
        Rule::check => StatementKind::Check(expression(next()?)?),
        Rule::op => op(inner)?,
        Rule::vary => vary(None, inner)?,
        Rule::vary_named => {
            let name = name_of(&next()?);
            vary(Some(name), next()?.into_inner())?
        }
        Rule::solve => StatementKind::Find(find(next()?)?),
        Rule::draw => StatementKind::Draw(draw(inner, span)?),
        Rule::table => {
            let message = "this table has no rows";
            let advice = "write its rows below, each between bars: `| hole | x | y |`";
            return Err(Diagnostic::error(message, span).advise(advice));
        }
        _ => {
            return Err(Diagnostic::error(
                format!("`{text}` is not a statement"),
                span,
            ));
        }
    })
}

/// Refuses `T-nut = 12 mm`, which would compare `T - nut` with 12 mm.
fn hyphened_name(text: &str, span: Span) -> Built<()> {
    let word = |c: char| c.is_alphanumeric() || c == '_';
    let end = text
        .find(|c: char| !(word(c) || c == '-'))
        .unwrap_or(text.len());
    let (name, rest) = text.split_at(end);
    let rest = rest.trim_start();
    let parts = || name.split('-');
    let named = |part: &str| part.starts_with(|c: char| c.is_alphabetic() || c == '_');
    if parts().count() < 2 || !parts().all(named) || !rest.starts_with('=') {
        return Ok(());
    }
    let (under, spaced) = (name.replace('-', "_"), name.replace('-', " - "));
    let place = Span::new(span.start as usize, span.start as usize + end);
    Err(
        Diagnostic::error(format!("`{name}` is not a name: `-` subtracts"), place).advise(format!(
            "write `{under} {rest}`; to compare, `({spaced}) {rest}`"
        )),
    )
}

fn parameter(pair: Pair<Rule>) -> Built<Parameter> {
    let span = span_of(&pair);
    let mut inner = pair.into_inner();
    let name = inner.next().ok_or_else(|| strange(span))?;
    Ok(Parameter {
        name: name_of(&name),
        default: inner.next().map(expression).transpose()?,
    })
}

fn lengths<'i>(words: impl Iterator<Item = Pair<'i, Rule>>) -> Built<Vec<System>> {
    let mut systems = Vec::new();
    for word in words {
        let system = match word.as_str() {
            "mm" | "metric" => System::Metric,
            "inch" | "in" | "inches" => System::Inch,
            other => {
                let message = format!("lengths can't be shown in `{other}`");
                let advice = "write `lengths mm`, `lengths inch` or `lengths mm, inch`";
                return Err(Diagnostic::error(message, span_of(&word)).advise(advice));
            }
        };
        if systems.contains(&system) {
            return Err(Diagnostic::error("this is named twice", span_of(&word)));
        }
        systems.push(system);
    }
    Ok(systems)
}

fn angles(word: &Pair<Rule>) -> Built<Style> {
    match word.as_str() {
        "deg" => Ok(Style::Decimal),
        "dms" => Ok(Style::DegreesMinutesSeconds),
        other => {
            let message = format!("angles can't be shown in `{other}`");
            Err(Diagnostic::error(message, span_of(word))
                .advise("write `angles deg` or `angles dms`"))
        }
    }
}

fn use_other(file: &Pair<Rule>, alias: Option<Name>) -> Built<StatementKind> {
    let span = span_of(file);
    let text = if file.as_rule() == Rule::text {
        text_of(file)
    } else {
        file.as_str().to_owned()
    };
    let text = text.strip_suffix(".job").unwrap_or(&text).to_owned();
    if text.is_empty() || text.contains(['/', '\\', '\0']) || text.starts_with('.') {
        let message = format!(
            "`{text}` can't be used: a notebook that is used is in the same folder as this one"
        );
        return Err(
            Diagnostic::error(message, span).advise("write its name only, such as `use workshop`")
        );
    }
    let is_name = text.starts_with(|c: char| c.is_alphabetic() || c == '_')
        && text.chars().all(|c| c.is_alphanumeric() || c == '_');
    let alias = match alias {
        Some(alias) => alias,
        None if is_name => Name {
            text: text.as_str().into(),
            span,
        },
        None => {
            let short = text.rsplit(['-', ' ']).next().unwrap_or("other");
            let message = format!("`{text}` can't come before a point in a formula");
            return Err(Diagnostic::error(message, span)
                .advise(format!("give it a short name: `use {text} as {short}`")));
        }
    };
    Ok(StatementKind::Use {
        file: Name {
            text: text.into(),
            span,
        },
        alias,
    })
}

fn op<'i>(pairs: impl Iterator<Item = Pair<'i, Rule>>) -> Built<StatementKind> {
    let mut pairs = pairs.peekable();
    let Some(each) = pairs.next_if(|pair| pair.as_rule() == Rule::op_each) else {
        return Ok(StatementKind::Op(pairs.map(op_part).collect::<Built<_>>()?));
    };
    let span = span_of(&each);
    let mut name = None;
    let mut over = None;
    for inner in each.into_inner() {
        match inner.as_rule() {
            Rule::name => name = Some(name_of(&inner)),
            Rule::sum => over = Some(operation(inner)?),
            _ => {}
        }
    }
    let (Some(name), Some(over)) = (name, over) else {
        return Err(strange(span));
    };
    let parts = pairs.map(op_part).collect::<Built<_>>()?;
    Ok(StatementKind::OpEach(OpEach { name, over, parts }))
}

fn op_part(pair: Pair<Rule>) -> Built<OpPart> {
    if pair.as_rule() == Rule::op_text {
        return Ok(OpPart::Text(
            pair.as_str().replace("{{", "{").replace("}}", "}"),
        ));
    }
    Ok(OpPart::Value(expression(content(pair)?)?))
}

fn vary<'i>(
    name: Option<Name>,
    pairs: impl Iterator<Item = Pair<'i, Rule>>,
) -> Built<StatementKind> {
    let mut ranges = Vec::new();
    let mut shown = Vec::new();
    for pair in pairs {
        let span = span_of(&pair);
        match pair.as_rule() {
            Rule::vary_range => {
                if ranges.len() == 2 {
                    return Err(Diagnostic::error(
                        "more than two names can't be varied at once",
                        span,
                    ));
                }
                ranges.push(vary_range(pair)?);
            }
            Rule::expression => shown.push(expression(pair)?),
            _ => {}
        }
    }
    Ok(StatementKind::Vary(name, ranges, shown))
}

fn vary_range(pair: Pair<Rule>) -> Built<VaryRange> {
    let span = span_of(&pair);
    let mut inner = pair.into_inner();
    let (Some(path), Some(range)) = (inner.next(), inner.next()) else {
        return Err(strange(span));
    };
    let path = path.into_inner().map(|name| name_of(&name)).collect();
    let range = self::range(range)?;
    Ok(VaryRange { path, range })
}
