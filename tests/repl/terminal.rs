//! The binary at a pseudo-terminal: completion, several lines, undo, writing, a
//! crash and what comes back after it.

use std::fs;
use std::path::Path;
use std::process::Command;

use rexpect::process::Signal;
use rexpect::reader::Options;
use rexpect::session::{PtySession, spawn_with_options};

use super::program;

/// A session at a terminal.
fn start(folder: &Path, arguments: &[&str]) -> PtySession {
    let mut command = program(folder);
    command
        .args(arguments)
        .env("TERM", "xterm")
        .env("NO_COLOR", "1");
    start_with(command)
}

fn start_with(command: Command) -> PtySession {
    let options = Options::new()
        .timeout_ms(Some(20_000))
        .strip_ansi_escape_codes(true);
    spawn_with_options(command, options).expect("a terminal")
}

/// Types a line and waits for what it must print, and for the next prompt: what is
/// typed before the terminal is in raw mode would be lost.
#[track_caller]
fn enter(session: &mut PtySession, line: &str, expected: &str) {
    answer(session, line, expected);
    prompt(session);
}

/// Waits for a prompt at the start of a line.
#[track_caller]
fn prompt(session: &mut PtySession) {
    if let Err(error) = session.exp_regex("\n\r*\\w+\\*?(?: \\(trying\\))?> ") {
        panic!("no prompt: {error}");
    }
}

/// Types a line and waits for what it must print.
#[track_caller]
fn answer(session: &mut PtySession, line: &str, expected: &str) {
    session.send(&format!("{line}\r")).expect("typing");
    session.flush().expect("typing");
    if let Err(error) = session.exp_string(expected) {
        panic!("{line}: {expected}: {error}");
    }
}

/// Types keys without ending the line and waits for what they must show.
#[track_caller]
fn keys(session: &mut PtySession, keys: &str, expected: &str) {
    session.send(keys).expect("typing");
    session.flush().expect("typing");
    if let Err(error) = session.exp_string(expected) {
        panic!("{keys:?}: {expected}: {error}");
    }
}

/// Ends the program as a power cut would.
fn kill(mut session: PtySession) {
    let died = session.process_mut().kill(Signal::SIGKILL);
    died.expect("it dies at once");
    drop(session);
}

/// Drops the line being typed: to its end, then all that stands before. The line
/// editor goes on reading all the while, so that what is typed next meets it.
#[track_caller]
fn give_up(session: &mut PtySession) {
    session.send("\u{5}\u{15}").expect("typing");
    session.flush().expect("typing");
}

const CTRL_D: &str = "\u{4}";

#[test]
fn names_functions_units_texts_and_files_complete() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(
        folder.path().join("workshop.job"),
        "mill_speeds = [60, 90] rpm\n",
    )
    .unwrap();
    let mut session = start(folder.path(), &[]);
    prompt(&mut session);
    enter(
        &mut session,
        "crank_throw = 12.5 mm",
        "crank_throw  12.500  mm",
    );
    // A name, completed and answered.
    keys(&mut session, "2 * crank_t\t", "2 * crank_throw");
    enter(&mut session, "", "\r\n  25.000 mm");
    // A function with what it takes, and its arguments hinted.
    keys(&mut session, "top_slide_ang\t", "big, small, length)");
    keys(&mut session, "25 mm, ", "small: drawn length >= 0 mm");
    // Machinery's Handbook, tapers: atan((25 - 20) / (2 * 50)) = 2.8624 deg.
    enter(&mut session, "20 mm, 50 mm)", "\r\n  2.862 deg");
    // Units behind a number.
    keys(&mut session, "5 tho\t", "5 thou");
    enter(&mut session, "", "\r\n  5.0 thou");
    // Designations inside the quotes; ISO 261: the pitch of M8 is 1.25 mm.
    keys(&mut session, "thread(\"M8x\t", "M8x0.75");
    give_up(&mut session);
    keys(&mut session, "thread(\"M8\").pit\t", "thread(\"M8\").pitch");
    enter(&mut session, "", "\r\n  1.250 mm");
    // What a function takes as text, before a quote is typed; a long list is cut, and
    // no pager asks for a key.
    keys(&mut session, "speed_for(\t", "\"mild steel\"");
    session.exp_string("more: type on").unwrap();
    give_up(&mut session);
    keys(&mut session, "speed_for(\"brass\", \t", "\"carbide\"");
    give_up(&mut session);
    keys(&mut session, "cran\t", "crank_throw  12.500 mm");
    give_up(&mut session);
    // Notebooks after `use`, and their names after the point.
    keys(&mut session, "use work\t", "use workshop");
    enter(&mut session, "", "use workshop");
    keys(&mut session, "workshop.mi\t", "workshop.mill_speeds");
    enter(&mut session, "", "\r\n  60, 90 rpm");
    // Commands.
    keys(&mut session, "desc\t", "describe");
    enter(&mut session, " top_slide_angle", "Machinery");
    enter(&mut session, "leave", "not written");
    session.send("leave\r").unwrap();
    session.flush().unwrap();
    session.exp_eof().unwrap();
}

#[test]
fn the_value_so_far_is_hinted_and_changes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let mut session = start(folder.path(), &[]);
    prompt(&mut session);
    enter(&mut session, "boss = 26 mm", "boss  26.000  mm");
    // Worked by hand: (26 - 12) / 2.
    keys(&mut session, "wall = (boss - 12 mm) / 2", "= 7.000 mm");
    give_up(&mut session);
    enter(&mut session, "wall", "unknown name `wall`");
    // ISO 286-2, table 6: H7 over 10 up to 18 mm is 0 to +18 micrometres.
    keys(&mut session, "bore = 12 mm H7", "12.000 to 12.018 mm");
    give_up(&mut session);
    enter(&mut session, "undo", "gone");
}

#[test]
fn an_open_bracket_asks_for_another_line_and_an_empty_one_gives_up() {
    let folder = tempfile::tempdir().unwrap();
    let mut session = start(folder.path(), &[]);
    prompt(&mut session);
    session.send("wall = (26 mm -\r12 mm)\r").unwrap();
    session.flush().unwrap();
    session.exp_string("wall  14.000  mm").unwrap();
    prompt(&mut session);
    session.send("wall = (26 mm -\r\r").unwrap();
    session.flush().unwrap();
    session.exp_string("`(` is not closed").unwrap();
    prompt(&mut session);
    // A whole notebook pasted at once.
    session
        .send("\u{1b}[200~[Holes]\nbore = wall - 2 mm\ntable holes\n| x |\n| bore |\n\ncheck bore > 1 mm\u{1b}[201~\r")
        .unwrap();
    session.flush().unwrap();
    session.exp_string("bore  12.000  mm").unwrap();
    session.exp_string("holds  bore > 1 mm").unwrap();
}

#[test]
fn a_whole_notebook_pasted_is_taken_as_it_stands() {
    let folder = tempfile::tempdir().unwrap();
    let notebook = "# mine\ntitle Lever\n\n[Drawing]\nwall = (boss - bore) / 2   # left\nboss = 26 mm\n# the shaft's\nbore = 12 mm\n";
    let mut session = start(folder.path(), &[]);
    prompt(&mut session);
    // The paste ends in a line break of its own; Enter follows.
    session
        .send(&format!("\u{1b}[200~{notebook}\u{1b}[201~\r"))
        .unwrap();
    session.flush().unwrap();
    // Worked by hand: (26 - 12) / 2.
    session.exp_string("wall   7.000  mm").unwrap();
    prompt(&mut session);
    enter(&mut session, "new lever", "written to lever.job: 3 cells");
    let text = fs::read_to_string(folder.path().join("lever.job")).unwrap();
    assert_eq!(text, notebook);
}

#[test]
fn a_crash_loses_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("lever.job");
    fs::write(&file, "# mine\nbore = 12 mm  # runs\n").unwrap();
    let mut session = start(folder.path(), &["try", "lever"]);
    prompt(&mut session);
    enter(&mut session, "boss = 26 mm", "boss  26.000  mm");
    enter(&mut session, "wall = (boss - bore) / 2", "wall  7.000  mm");
    enter(&mut session, "bore = 13 mm", "6.500 mm");
    enter(&mut session, "undo", "undid 1 change");
    kill(session);
    // Not offered while another notebook is asked for, and not lost by that.
    let mut session = start(folder.path(), &["try", "other"]);
    session.exp_string("was not ended").unwrap();
    prompt(&mut session);
    session.send(CTRL_D).unwrap();
    session.flush().unwrap();
    session.exp_eof().unwrap();
    let mut session = start(folder.path(), &["try", "lever"]);
    session.exp_string("bring it back?").unwrap();
    enter(&mut session, "yes", "brought back 2 changes");
    enter(&mut session, "wall", "wall  7.000  mm");
    // What was taken back before the crash can be made again, and undo goes on.
    enter(&mut session, "redo", "6.500 mm");
    enter(&mut session, "undo 2", "undid 2 changes");
    enter(&mut session, "redo", "redid 1 change");
    enter(&mut session, "write", "written to");
    session.send(CTRL_D).unwrap();
    session.flush().unwrap();
    session.exp_eof().unwrap();
    let text = fs::read_to_string(&file).unwrap();
    assert_eq!(
        text,
        "# mine\nbore = 12 mm  # runs\nboss = 26 mm\nwall = (boss - bore) / 2\n"
    );
    // A good end leaves nothing to bring back; the history is all there, once.
    let left = fs::read_dir(folder.path().join("data/journals")).unwrap();
    assert_eq!(left.count(), 0);
    let mut session = start(folder.path(), &[]);
    prompt(&mut session);
    session.send(CTRL_D).unwrap();
    session.flush().unwrap();
    session.exp_eof().unwrap();
    let history = fs::read_to_string(folder.path().join("data/history")).unwrap();
    for entry in ["boss = 26 mm", "bore = 13 mm", "redo", "write"] {
        let count = history.lines().filter(|line| *line == entry).count();
        assert_eq!(count, 1, "{entry} in {history}");
    }
}

/// An interrupt ends what is being worked out, never the session.
#[test]
fn an_interrupt_keeps_the_session() {
    let folder = tempfile::tempdir().unwrap();
    let mut session = start(folder.path(), &[]);
    prompt(&mut session);
    enter(&mut session, "a = 1 mm", "a  1.000  mm");
    // A sum of 2^20 calls a cell; forty of them take long, or end by their bounds.
    enter(
        &mut session,
        "f(n) = if n < 1 then 1 else f(n - 1) + f(n - 1)",
        "f(n)",
    );
    for _ in 0..3 {
        session.process_mut().signal(Signal::SIGINT).unwrap();
    }
    enter(&mut session, "2 * a", "2.000 mm");
    let cells: Vec<String> = (0..40)
        .map(|n| format!("b{n} = f(16 + a / (1 mm))"))
        .collect();
    session
        .send(&format!("\u{1b}[200~{}\u{1b}[201~\r", cells.join("\n")))
        .unwrap();
    session.flush().unwrap();
    session.process_mut().signal(Signal::SIGINT).unwrap();
    prompt(&mut session);
    enter(&mut session, "3 * a", "3.000 mm");
}

#[test]
fn what_the_session_keeps_is_for_its_owner_only() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().unwrap();
    let mut session = start(folder.path(), &[]);
    prompt(&mut session);
    enter(&mut session, "a = 1 mm", "a  1.000  mm");
    kill(session);
    let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
    let data = folder.path().join("data");
    assert_eq!(mode(&data), 0o700);
    assert_eq!(mode(&data.join("history")), 0o600);
    let journals = data.join("journals");
    assert_eq!(mode(&journals), 0o700);
    for journal in fs::read_dir(journals).unwrap() {
        assert_eq!(mode(&journal.unwrap().path()), 0o600);
    }
}

#[test]
fn a_notebook_that_changes_on_disk_is_spoken_of() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("lever.job");
    fs::write(&file, "bore = 12 mm\nboss = 26 mm\n").unwrap();
    let mut session = start(folder.path(), &["try", "lever"]);
    prompt(&mut session);
    enter(&mut session, "wall = (boss - bore) / 2", "wall  7.000  mm");
    fs::write(&file, "bore = 14 mm\nboss = 26 mm\n").unwrap();
    answer(&mut session, "write", "was changed on disk");
    session.exp_string("take its new text").unwrap();
    // Worked by hand: (26 - 14) / 2.
    enter(&mut session, "yes", "6.000 mm");
    enter(&mut session, "write", "written to");
    let text = fs::read_to_string(&file).unwrap();
    assert_eq!(
        text,
        "bore = 14 mm\nboss = 26 mm\nwall = (boss - bore) / 2\n"
    );
}

#[test]
fn leaving_with_something_unwritten_asks_once() {
    let folder = tempfile::tempdir().unwrap();
    let mut session = start(folder.path(), &[]);
    prompt(&mut session);
    enter(&mut session, "a = 1 mm", "a  1.000  mm");
    keys(&mut session, CTRL_D, "not written: 1 change (a)");
    prompt(&mut session);
    session.send(CTRL_D).unwrap();
    session.flush().unwrap();
    session.exp_eof().unwrap();
}

#[test]
fn vi_keys_and_looking_back_work() {
    let folder = tempfile::tempdir().unwrap();
    let mut command = program(folder.path());
    command
        .env("TERM", "xterm")
        .env("NO_COLOR", "1")
        .env("SETOVER_KEYS", "vi");
    let mut session = start_with(command);
    prompt(&mut session);
    enter(&mut session, "a = 1 mm", "a  1.000  mm");
    // Escape, to the start, change the word: `a` becomes `b`.
    session.send("a = 5 mm").unwrap();
    session.flush().unwrap();
    std::thread::sleep(std::time::Duration::from_millis(300));
    session.send("\u{1b}").unwrap();
    session.flush().unwrap();
    std::thread::sleep(std::time::Duration::from_millis(900));
    session.send("0rb\r").unwrap();
    session.flush().unwrap();
    session.exp_string("b  5.000  mm").unwrap();
    drop(session);
    let mut session = start(folder.path(), &[]);
    session.exp_string("later").unwrap();
    answer(&mut session, "no", "`leave` ends");
    prompt(&mut session);
    // Ctrl-R looks back through the history of the session before.
    keys(&mut session, "\u{12}5 m", "b = 5 mm");
    enter(&mut session, "", "b  5.000  mm");
}

/// A degree sign as a terminal in Latin-1 sends it.
#[test]
fn a_byte_that_is_no_utf_8_ends_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let mut session = start(folder.path(), &[]);
    prompt(&mut session);
    enter(&mut session, "a = 1 mm", "a  1.000  mm");
    let mut tty = session.process().get_file_handle().expect("a handle");
    std::io::Write::write_all(&mut tty, b"b = 30 \xb0").expect("typing");
    session.exp_string("not UTF-8").unwrap();
    prompt(&mut session);
    enter(&mut session, "b = 2 * a", "b  2.000  mm");
    kill(session);
    let mut session = start(folder.path(), &[]);
    session.exp_string("bring it back?").unwrap();
    enter(&mut session, "yes", "brought back 2 changes");
}

#[test]
fn what_is_typed_where_a_question_is_asked_is_kept() {
    let folder = tempfile::tempdir().unwrap();
    let mut session = start(folder.path(), &[]);
    prompt(&mut session);
    enter(&mut session, "a = 1 mm", "a  1.000  mm");
    kill(session);
    let mut session = start(folder.path(), &[]);
    session.exp_string("bring it back?").unwrap();
    // A notebook is pasted before the question is read.
    session
        .send("\u{1b}[200~b = 5 mm\nc = 2 * b\u{1b}[201~\r")
        .unwrap();
    session.flush().unwrap();
    session.exp_string("c  10.000  mm").unwrap();
    prompt(&mut session);
    // The session that died is still offered.
    enter(&mut session, "leave", "not written");
    session.send("leave\r").unwrap();
    session.flush().unwrap();
    session.exp_eof().unwrap();
    let mut session = start(folder.path(), &[]);
    session.exp_string("bring it back?").unwrap();
    enter(&mut session, "yes", "brought back 1 change");
}

#[test]
fn writing_over_what_cannot_be_read_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("lever.job");
    fs::write(&file, "bore = 12 mm\n").unwrap();
    let mut session = start(folder.path(), &["try", "lever"]);
    prompt(&mut session);
    enter(&mut session, "boss = 26 mm", "boss  26.000  mm");
    fs::write(&file, b"bore = 13 mm # \xb0\n").unwrap();
    enter(&mut session, "write", "can't be read: line 1 is");
    assert_eq!(fs::read(&file).unwrap(), b"bore = 13 mm # \xb0\n");
    fs::remove_file(&file).unwrap();
    enter(&mut session, "write", "not there any more");
    assert!(!file.exists());
    enter(&mut session, "new lever", "written to lever.job");
    assert!(file.exists());
}

#[test]
fn taking_back_what_another_program_changed_is_spoken_of() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("lever.job");
    fs::write(&file, "bore = 12 mm\nboss = 26 mm\n").unwrap();
    let mut session = start(folder.path(), &["try", "lever"]);
    prompt(&mut session);
    fs::write(&file, "bore = 14 mm\nboss = 26 mm\n").unwrap();
    answer(&mut session, "boss", "take its new text");
    enter(&mut session, "yes", "14.000 mm");
    enter(&mut session, "undo", "undid 1 change");
    enter(
        &mut session,
        "write",
        "takes back what was changed on disk: bore",
    );
    assert!(fs::read_to_string(&file).unwrap().contains("14 mm"));
    enter(&mut session, "write", "written to");
    assert!(fs::read_to_string(&file).unwrap().contains("12 mm"));
}

/// What a notebook holds can't colour, hide or overwrite words on the terminal.
#[test]
fn no_sign_of_a_notebook_reaches_the_terminal() {
    let folder = tempfile::tempdir().expect("a folder");
    let text = "check 2 < 1 # fails\rholds \u{1b}[8m\u{202e}sdloh\nop Say \u{1b}[32mholds\u{1b}[0m.\na = \"\u{9b}31m\"\nb = c # \u{1b}[2K\n";
    fs::write(folder.path().join("part.job"), text).expect("a notebook");
    for arguments in [
        &["run", "part.job"][..],
        &["check", "part.job"],
        &["explain", "part.job", "a"],
        &["run", "--as", "json", "part.job"],
    ] {
        let mut command = program(folder.path());
        command
            .args(arguments)
            .env("TERM", "xterm")
            .env("LC_ALL", "C.UTF-8");
        let options = Options::new().timeout_ms(Some(20_000));
        let mut session = spawn_with_options(command, options).expect("a terminal");
        let shown = session.exp_eof().expect("it ends");
        // rexpect shows each byte as a character.
        let bytes: Vec<u8> = shown.chars().filter_map(|c| u8::try_from(c).ok()).collect();
        let lines = String::from_utf8_lossy(&bytes).replace("\r\n", "\n");
        let bad = |c: char| c.is_control() && c != '\n' || c == '\u{202e}';
        assert!(!lines.contains(bad), "{arguments:?}: {lines:?}");
    }
}

/// A terminal whose locale has no UTF-8 gets ASCII; what is written into a file or a
/// pipe stays as it is.
#[test]
fn a_locale_without_utf_8() {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(
        folder.path().join("part.job"),
        "web = 8 mm ±0.05\nhalf = 22.5°\n",
    )
    .expect("a notebook");
    // rexpect shows each byte as a character.
    for (locale, wanted) in [("C", "8 mm +/-0.05"), ("C.UTF-8", "8 mm \u{c2}\u{b1}0.05")] {
        let mut command = program(folder.path());
        command
            .args(["explain", "part.job", "web"])
            .env("LC_ALL", locale)
            .env("NO_COLOR", "1");
        let mut session = start_with(command);
        let text = session.exp_eof().expect("it ends");
        assert!(text.contains(wanted), "{locale}: {text}");
        assert_eq!(text.is_ascii(), locale == "C", "{text}");
    }
    let piped = program(folder.path())
        .args(["explain", "part.job", "web"])
        .env("LC_ALL", "C")
        .output()
        .expect("it runs");
    assert!(String::from_utf8_lossy(&piped.stdout).contains("±0.05"));
}
