//! From a key press to its hint and its colours, with a notebook of 10,000 cells
//! open.
//!
//! `cargo bench --bench keypress`. The limit is 5 ms; beside the times stand the
//! ratios to the same keys with an empty notebook.

use std::path::Path;
use std::time::{Duration, Instant};

use setover::internals::notebook::Shelf;
use setover::internals::repl::{Analysis, Bench, Refused, Session, complete, highlight, hint};
use setover::internals::sheet::TerminalStyle;

/// One notebook in memory.
struct Memory(String);

impl Shelf for Memory {
    fn text(&self, _: &Path) -> Result<String, String> {
        Ok(self.0.clone())
    }

    fn beside(&self, _: &Path) -> Vec<String> {
        Vec::new()
    }
}

impl Bench for Memory {
    fn write(&self, _: &Path, _: &str, _: Option<&str>) -> Result<(), Refused> {
        Ok(())
    }

    fn exists(&self, _: &Path) -> bool {
        true
    }
}

/// A notebook of `cells` cells, each worked out from the one above it.
fn notebook(cells: usize) -> String {
    let mut text = String::from("cell_0 = 12 mm ±0.05\n");
    for cell in 1..cells {
        let above = cell - 1 - (cell - 1) % 50;
        text += &format!("cell_{cell} = cell_{above} / 2 + {cell} mm\n");
    }
    text
}

fn session(cells: usize) -> Session {
    let look = TerminalStyle {
        width: 80,
        colour: true,
    };
    let bench = Box::new(Memory(notebook(cells)));
    Session::open(bench, look, Path::new("lever.job")).expect("the notebook")
}

/// What a key press costs: a look at the line, its hint and its colours.
fn press(session: &Session, line: &str) -> usize {
    let look = Analysis::of(line);
    let hint = hint(session, &look, line.len(), 80).unwrap_or_default();
    highlight(session, &look, true).len() + hint.len() + usize::from(look.wants_more())
}

/// The middle and the longest of the times of every key of a line.
fn typed(session: &Session, line: &str) -> (Duration, Duration) {
    let mut times = Vec::new();
    for _ in 0..20 {
        for (end, c) in line.char_indices() {
            let start = Instant::now();
            std::hint::black_box(press(session, &line[..end + c.len_utf8()]));
            times.push(start.elapsed());
        }
    }
    times.sort();
    (times[times.len() / 2], times[times.len() * 99 / 100])
}

fn milliseconds(time: Duration) -> f64 {
    time.as_secs_f64() * 1e3
}

fn main() {
    let (small, large) = (session(1), session(10_000));
    println!("from a key press to its hint; 10,000 cells, and the ratio to an empty notebook");
    println!("{:>10} {:>10} {:>8}  line", "middle ms", "99 % ms", "ratio");
    let mut worst = 0.0_f64;
    for line in [
        "wall = (cell_9999 - cell_4000) / 2",
        "top_slide_angle(cell_5000, 20 mm, length: 50 mm) as dms",
        "bore = 12 mm H7  # runs on the shaft",
        "check cell_9000 >= 3 mm and cell_1 < 5 m",
        "tapping_drill(\"M8x1\")",
        "speed = spindle_speed(speed_for(\"mild steel\", \"HSS\", \"turn\"), cell_700)",
        "gauge_blocks(cell_123)",
        "pitch_circle(6, cell_50).x[2]",
        "no_such_name + 2 * cell_9000 ^ 2 / 3",
    ] {
        // Functions of the library are read on first use.
        press(&large, line);
        let (base, _) = typed(&small, line);
        let (middle, most) = typed(&large, line);
        worst = worst.max(milliseconds(most));
        println!(
            "{:>10.3} {:>10.3} {:>8.2}  {line}",
            milliseconds(middle),
            milliseconds(most),
            milliseconds(middle) / milliseconds(base)
        );
    }
    let start = Instant::now();
    let look = Analysis::of("wall = cell_99");
    let found = complete(&large, &look, 14).1.len();
    println!(
        "completion of `wall = cell_99` ({found} found): {:.3} ms",
        milliseconds(start.elapsed())
    );
    println!("slowest key {worst:.3} ms; the limit is 5 ms");
    let mut large = large;
    let start = Instant::now();
    large.enter("cell_0 = 13 mm");
    println!(
        "entering a change that moves the notebook: {:.1} ms",
        milliseconds(start.elapsed())
    );
}
