//! What is wrong, as wide as a terminal: words broken between words, of a long line the
//! piece round the marked spot.

use unicode_width::UnicodeWidthStr;

/// How far a line that is quoted stands from the edge.
const QUOTED: usize = 4;

/// Returns rendered diagnostics broken to a terminal's width.
#[must_use]
pub fn fit(text: &str, width: usize) -> String {
    let lines: Vec<&str> = text.split('\n').collect();
    let mut out: Vec<String> = Vec::new();
    let mut place = 0;
    while let Some(line) = lines.get(place) {
        let next = lines.get(place + 1).copied().unwrap_or("");
        let quoted = line.starts_with("    ") && is_mark(next);
        if quoted && line.width() > width {
            let (piece, mark) = window(line, next, width);
            out.extend([piece, mark]);
            place += 2;
        } else if quoted {
            out.extend([(*line).to_owned(), next.to_owned()]);
            place += 2;
        } else {
            let words = line.trim_start_matches(' ');
            let indent = line.len() - words.len();
            let mut broken = String::new();
            wrapped(&mut broken, words, width, indent, indent + 2);
            out.extend(broken.lines().map(str::to_owned));
            place += 1;
        }
    }
    out.join("\n")
}

/// Returns whether a line marks the spot in the line above it.
fn is_mark(line: &str) -> bool {
    line.trim_start_matches([' ', '\u{1b}', '[', ';', 'm'])
        .trim_start_matches(|c: char| c.is_ascii_digit() || ";m".contains(c))
        .starts_with('~')
        && line.starts_with("    ")
}

/// Writes a text broken between words; a word that is too long is broken behind its opening
/// brackets, or keeps its line to itself.
pub fn wrapped(out: &mut String, text: &str, width: usize, first: usize, next: usize) {
    let mut line = " ".repeat(first);
    let mut empty = true;
    for word in text.split(' ').filter(|word| !word.is_empty()) {
        let long = next + word.width() > width;
        let pieces: Vec<&str> = if long {
            word.split_inclusive('(').collect()
        } else {
            vec![word]
        };
        for (place, piece) in pieces.into_iter().enumerate() {
            let blank = usize::from(!empty && place == 0);
            if !empty && line.width() + blank + piece.width() > width {
                push_line(out, &line);
                line = " ".repeat(next);
            } else if blank == 1 {
                line.push(' ');
            }
            line.push_str(piece);
            empty = false;
        }
    }
    push_line(out, &line);
}

/// Returns the words of a text on one line, a blank between them.
#[must_use]
pub fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Writes a line without the blanks at its end.
pub fn push_line(out: &mut String, line: &str) {
    out.push_str(line.trim_end());
    out.push('\n');
}

/// Returns the piece of a long line round its mark, and the mark below it.
fn window(line: &str, mark: &str, width: usize) -> (String, String) {
    let content: Vec<char> = line.chars().skip(QUOTED).collect();
    let before = mark.chars().take_while(|c| *c == ' ').count();
    let at = before.saturating_sub(QUOTED);
    // Room for a sign that more stands on either side.
    let room = width.saturating_sub(QUOTED + 4).max(8);
    let from = if at > room * 2 / 3 { at - room / 3 } else { 0 };
    let to = (from + room).min(content.len());
    let shown: String = content.get(from..to).unwrap_or_default().iter().collect();
    let (left, right) = (
        if from > 0 { "… " } else { "" },
        if to < content.len() { " …" } else { "" },
    );
    let blanks = QUOTED + left.chars().count() + at - from;
    let waves = mark.matches('~').count();
    let fewer = waves.min(width.saturating_sub(blanks)).max(1);
    let mark = mark
        .trim_start_matches(' ')
        .replacen(&"~".repeat(waves), &"~".repeat(fewer), 1);
    (
        format!("    {left}{}{right}", shown.trim_end()),
        " ".repeat(blanks) + &mark,
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_broken_and_the_marked_piece_is_shown() {
        let text = "part.job, line 3 (a warning)\n    near = nearest_drill(d)\n           ~~~~~~~~~~~~~~~~\n  the nearest drill, 7.000 mm, lies outside the limits of this size\n  drill smaller, then bore\n\n";
        let expected = "part.job, line 3 (a warning)\n    near = nearest_drill(d)\n           ~~~~~~~~~~~~~~~~\n  the nearest drill, 7.000 mm, lies\n    outside the limits of this size\n  drill smaller, then bore\n\n";
        assert_eq!(fit(text, 40), expected);
        assert_eq!(fit(text, 100), text);
        let text = "x.job, line 1\n    op Turn it to {wall + 3 mm} and leave it there for the night\n                   \u{1b}[31;1m~~~~\u{1b}[0m\n  unknown name `wall`\n";
        let fitted = fit(text, 40);
        let lines: Vec<&str> = fitted.lines().collect();
        assert_eq!(lines[1], "    op Turn it to {wall + 3 mm} and …");
        assert_eq!(lines[2], "                   \u{1b}[31;1m~~~~\u{1b}[0m");
        let text = "x.job, line 1\n    a = 1 + 2 + 3 + 4 + 5 + 6 + 7 + 8 + 9 + 10 + wall + 11 + 12\n                                                 ~~~~ here\n";
        let fitted = fit(text, 40);
        let lines: Vec<&str> = fitted.lines().collect();
        let at = lines[2].find('~').expect("a mark");
        let marked: String = lines[1].chars().skip(at).take(4).collect();
        assert_eq!(marked, "wall", "{fitted}");
        assert!(lines.iter().all(|line| line.width() <= 40), "{fitted}");
    }

    #[test]
    fn any_text_is_taken() {
        for text in [
            "",
            "\n\n",
            "    ~",
            "    a\n    ~",
            "     \n~~~~",
            "    é~\n      ~~~~~~~~~~~~~~~~~~~~~~~~~",
        ] {
            for width in [0, 1, 5, 20] {
                let _ = fit(text, width);
            }
        }
    }
}
