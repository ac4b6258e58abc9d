//! What the parser says when a statement can't be read, in the user's words.

use pest::error::{Error, ErrorVariant, InputLocation};

use super::quotes::Quotes;
use super::rules::Rule;
use crate::diagnostic::{Diagnostic, Span};

/// Returns the user's word for a rule; nothing for rules that say too little.
pub fn phrase(rule: Rule) -> Option<&'static str> {
    Some(match rule {
        Rule::EOI => "the end of the statement",
        Rule::expression
        | Rule::whole_expression
        | Rule::operation
        | Rule::sum
        | Rule::operand
        | Rule::size
        | Rule::literal
        | Rule::number
        | Rule::degrees
        | Rule::inch_fraction
        | Rule::fraction
        | Rule::inches
        | Rule::text
        | Rule::list
        | Rule::list_open
        | Rule::group
        | Rule::if_then
        | Rule::find
        | Rule::call
        | Rule::call_name
        | Rule::sign
        | Rule::w_not
        | Rule::w_if
        | Rule::w_find
        | Rule::rows
        | Rule::w_rows
        | Rule::whole
        | Rule::bare => "a value",
        Rule::name
        | Rule::path
        | Rule::cell
        | Rule::function
        | Rule::function_name
        | Rule::binding
        | Rule::vary_named
        | Rule::vary_range
        | Rule::heading_cell => "a name",
        Rule::argument | Rule::argument_name => "an argument",
        Rule::parameter => "a parameter",
        Rule::operator | Rule::arithmetic | Rule::plus | Rule::minus | Rule::w_and | Rule::w_or => {
            "an operator"
        }
        Rule::unit | Rule::unit_atom | Rule::shown_as | Rule::fraction_style => "a unit",
        Rule::tolerance | Rule::plus_minus | Rule::deviations | Rule::class => "a tolerance",
        Rule::deviation | Rule::signed | Rule::short | Rule::zero => "a deviation",
        Rule::feet => "inches",
        Rule::minutes | Rule::seconds => "minutes or seconds",
        Rule::field => "a field",
        Rule::index => "an index",
        Rule::where_clause | Rule::w_where => "`where`",
        Rule::w_as => "`as`",
        Rule::w_then => "`then`",
        Rule::w_else => "`else`",
        Rule::w_between => "`between`",
        Rule::w_so => "`so that`",
        Rule::w_that => "`that`",
        Rule::w_over | Rule::vary_list => "`over`",
        Rule::w_from | Rule::vary_steps => "`from`",
        Rule::w_to => "`to`",
        Rule::w_by => "`by`",
        Rule::w_show => "`show`",
        Rule::w_for => "`for`",
        Rule::w_starting | Rule::rows_start => "`starting`",
        Rule::rows_with => "`with`",
        Rule::w_unless | Rule::rows_unless => "`unless`",
        Rule::w_of | Rule::draw_of | Rule::draw_in => "what to draw",
        Rule::w_with | Rule::draw_with => "`with`",
        Rule::draw_over => "`over`",
        Rule::picture => "the name of a picture",
        Rule::heading => "a heading",
        Rule::setting_word | Rule::file_name | Rule::rest | Rule::op_text | Rule::op_value => {
            "text"
        }
        Rule::table_cell => "a cell",
        Rule::text_inner => "the closing quote",
        Rule::prefix
        | Rule::picture_word
        | Rule::unit_char
        | Rule::unit_stop
        | Rule::name_char
        | Rule::reserved
        | Rule::space
        | Rule::bar
        | Rule::colon
        | Rule::diameter
        | Rule::gap
        | Rule::WHITESPACE
        | Rule::number_start
        | Rule::word_start
        | Rule::tolerance_start
        | Rule::fraction_start
        | Rule::operation_end => return None,
        // The statements and their words.
        _ => "a statement",
    })
}

/// Returns a parser's error in the user's words. `text` is what was parsed.
pub fn explain(error: &Error<Rule>, text: &str) -> Diagnostic {
    let start = match error.location {
        InputLocation::Pos(start) | InputLocation::Span((start, _)) => start.min(text.len()),
    };
    // The parser may stop before a blank; what is wrong stands behind it.
    let blank = |c: char| c == ' ' || c == '\t';
    let rest = text.get(start..).unwrap_or("");
    let start = start + rest.len() - rest.trim_start_matches(blank).len();
    if let Some(better) = known_mistake(text, start) {
        return better;
    }
    let mut wanted: Vec<&str> = Vec::new();
    if let ErrorVariant::ParsingError { positives, .. } = &error.variant {
        for word in positives.iter().filter_map(|rule| phrase(*rule)) {
            if !wanted.contains(&word) {
                wanted.push(word);
            }
        }
    }
    if wanted.len() > 1 {
        wanted.retain(|word| {
            !matches!(
                *word,
                "a tolerance" | "`as`" | "`where`" | "a field" | "an index" | "a statement"
            )
        });
    }
    let found = found(text, start);
    let message = match wanted.split_last() {
        None => format!("{found} does not belong here"),
        Some((last, [])) => format!("{} where {last} is expected", comes(&found)),
        Some((last, first)) => format!(
            "{} where {} or {last} is expected",
            comes(&found),
            first.join(", ")
        ),
    };
    Diagnostic::error(message, token(text, start))
}

/// Returns what was found, as the subject of a sentence: the line ends there, or it comes.
fn comes(found: &str) -> String {
    if found == END_OF_LINE {
        "the line ends".to_owned()
    } else {
        format!("{found} comes")
    }
}

/// How the place after a line's last word is called.
const END_OF_LINE: &str = "the end of the line";

/// Returns what is at the place, quoted.
fn found(text: &str, start: usize) -> String {
    let span = token(text, start);
    match text.get(span.start as usize..span.end as usize) {
        Some("") | None => END_OF_LINE.to_owned(),
        Some("\n" | "\r\n") => END_OF_LINE.to_owned(),
        Some(token) => match token.chars().next() {
            Some(c) if c.is_control() && c != '\t' => {
                format!("a character that can't be seen (U+{:04X})", u32::from(c))
            }
            _ => format!("`{token}`"),
        },
    }
}

/// Returns the word or sign at `start`.
fn token(text: &str, start: usize) -> Span {
    let Some(rest) = text.get(start..) else {
        return Span::new(start, start);
    };
    let word = |c: char| c.is_alphanumeric() || c == '_';
    let length = match rest.chars().next() {
        None => 0,
        Some(c) if word(c) => rest.find(|c| !word(c)).unwrap_or(rest.len()),
        Some(c) => c.len_utf8(),
    };
    Span::new(start, start + length)
}

/// Mistakes that are worth words of their own.
fn known_mistake(text: &str, start: usize) -> Option<Diagnostic> {
    let at =
        |from: usize, to: usize, message: &str| Diagnostic::error(message, Span::new(from, to));
    if let Some((place, bracket)) = unbalanced(text) {
        return Some(match bracket {
            '"' => at(place, place + 1, "this quote is not closed")
                .advise("close it with `\"` on the same line"),
            '(' | '[' | '{' => {
                let closing = match bracket {
                    '(' => ')',
                    '[' => ']',
                    _ => '}',
                };
                at(place, place + 1, &format!("`{bracket}` is not closed"))
                    .advise(format!("close it with `{closing}`"))
            }
            _ => at(place, place + 1, &format!("`{bracket}` closes no bracket"))
                .advise("remove it, or open the bracket before it"),
        });
    }
    let rest = text.get(start..)?;
    let before = text.get(..start)?.trim_end();
    let behind = |sign: &str| {
        let twice = rest.starts_with(sign) && text.get(..start).is_some_and(|b| b.ends_with(sign));
        twice.then(|| start - sign.len())
    };
    let doubled = |sign: &str| {
        let ahead = rest.starts_with(&sign.repeat(2)).then_some(start);
        ahead.or_else(|| behind(sign))
    };
    if let Some(from) = doubled("=") {
        return Some(at(from, from + 2, "`==` is not an operator").advise("write `=` to compare"));
    }
    if rest.starts_with("&&") || rest.starts_with("||") {
        return Some(at(start, start + 2, "this is not an operator").advise("write `and` or `or`"));
    }
    if let Some(from) = doubled("*") {
        return Some(at(from, from + 2, "`**` is not an operator").advise("write `^` for a power"));
    }
    if rest.starts_with('#') && rest[1..].starts_with(|c: char| c.is_ascii_digit()) {
        return Some(at(start, start + 1, "`#` before a digit starts no remark").advise("put a drill or thread in quotes, such as `\"#7\"`; put a space after the `#` of a remark"));
    }
    if rest.starts_with(',')
        && before.ends_with(|c: char| c.is_ascii_digit())
        && rest[1..].starts_with(|c: char| c.is_ascii_digit())
    {
        return Some(
            at(start, start + 1, "a comma in a number").advise(decimal_point(before, &rest[1..])),
        );
    }
    if let Some(word) = ["over", "from"]
        .into_iter()
        .find(|word| rest.starts_with(word))
        && text.starts_with("vary")
        && let Some((ranges, name)) = before.rsplit_once(',')
    {
        let comma = ranges.len();
        return Some(
            at(
                comma,
                comma + 1,
                "a second name comes after `and`, not after a comma",
            )
            .advise(format!("write `and {} {word} …`", name.trim())),
        );
    }
    if let Some(wrong) = two_deviations(text, start) {
        return Some(wrong);
    }
    if let Some(second) = rest.strip_prefix(';') {
        let second = second.trim();
        let advice = if second.is_empty() {
            "leave it out".to_owned()
        } else {
            format!("write `{second}` on a line of its own")
        };
        return Some(at(start, start + 1, "a line holds one statement").advise(advice));
    }
    point(text, start, before).or_else(|| {
        (rest.starts_with('\'') && before.ends_with(|c: char| c.is_ascii_digit())).then(|| {
            at(start, start + 1, "`'` alone is neither feet nor minutes")
                .advise("write feet as `5 ft`, minutes as `0°30'`")
        })
    })
}

/// Returns what is wrong with numbers in brackets behind a size that are no two deviations.
fn two_deviations(text: &str, start: usize) -> Option<Diagnostic> {
    let open = match text.get(start..)?.starts_with('(') {
        true => start,
        false => text.get(..start)?.rfind('(')?,
    };
    let size = text.get(..open)?.trim_end();
    let length = text.get(open..)?.find(')')? + 1;
    let inside = text.get(open + 1..open + length - 1)?;
    let number = |c: char| c.is_ascii_digit() || " ./+-−".contains(c);
    if !size.ends_with(|c: char| c.is_alphanumeric() || "\"°%'".contains(c))
        || !inside.contains('/')
        || !inside.chars().all(number)
    {
        return None;
    }
    let message = "of two deviations in brackets one has a sign, the other a sign or is 0";
    Some(
        Diagnostic::error(message, Span::new(open, open + length)).advise(
            "write them as `(+0.02/-0.01)` or `(0/-0.1)`; \
             a half after a whole number is `12 1/2 in`",
        ),
    )
}

/// Returns what is wrong with a point that ends a line, or that stands in a designation
/// without quotes.
fn point(text: &str, start: usize, before: &str) -> Option<Diagnostic> {
    let point = if before.ends_with('.') {
        before.len() - 1
    } else {
        start
    };
    let behind = text.get(point..)?.strip_prefix('.')?;
    if behind.trim().is_empty() {
        let place = Span::new(point, point + 1);
        return Some(
            Diagnostic::error("a full stop at the end of the line", place).advise("leave it out"),
        );
    }
    let digits = behind.len()
        - behind
            .trim_start_matches(|c: char| c.is_ascii_digit())
            .len();
    let word = text
        .get(..point)?
        .rsplit(|c: char| !c.is_alphanumeric())
        .next()?;
    if digits == 0
        || !word.starts_with(|c: char| c.is_ascii_uppercase())
        || !word.ends_with(|c: char| c.is_ascii_digit())
    {
        return None;
    }
    let place = Span::new(point - word.len(), point + 1 + digits);
    let written = text.get(place.start as usize..place.end as usize)?;
    let message = "a designation goes in quotes";
    Some(Diagnostic::error(message, place).advise(format!("write `\"{written}\"`")))
}

/// Returns what to write for a number with a comma.
fn decimal_point(before: &str, behind: &str) -> String {
    let digits = |text: &str| {
        text.find(|c: char| !c.is_ascii_digit())
            .unwrap_or(text.len())
    };
    let whole = before
        .rsplit(|c: char| !c.is_ascii_digit())
        .next()
        .unwrap_or("");
    let part = behind.get(..digits(behind)).unwrap_or("");
    format!("write the decimal point as `.`: `{whole}.{part}`, and thousands without a mark")
}

/// Returns the first bracket or quote without its partner.
fn unbalanced(text: &str) -> Option<(usize, char)> {
    let mut open: Vec<(usize, char)> = Vec::new();
    let mut quotes = Quotes::default();
    let mut quote = 0;
    for (i, byte) in text.bytes().enumerate() {
        let before = quotes.is_open();
        if quotes.inside(byte) {
            if !before {
                quote = i;
            }
            if byte == b'\n' {
                return Some((quote, '"'));
            }
            continue;
        }
        let c = char::from(byte);
        match c {
            '(' | '[' | '{' => open.push((i, c)),
            ')' | ']' | '}' => match open.pop() {
                Some((_, '(')) if c == ')' => {}
                Some((_, '[')) if c == ']' => {}
                Some((_, '{')) if c == '}' => {}
                _ => return Some((i, c)),
            },
            _ => {}
        }
    }
    if quotes.is_open() {
        return Some((quote, '"'));
    }
    open.pop()
}
