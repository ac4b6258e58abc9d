//! Notebooks that ask for much: what they take grows with them and not with their
//! square, and ends at a bound that is said. Bytes and messages, never seconds, so that
//! every machine gives the same answer; `tests/benches/hostile.py` writes larger ones.

#[path = "fuzz/memory.rs"]
mod memory;

use std::fmt::Write;
use std::path::Path;
use std::sync::Mutex;

use setover::internals::notebook::{Shelf, Workspace, problems};
use setover::internals::sheet::{Sheet, TerminalStyle, terminal};

#[global_allocator]
static ALLOCATOR: memory::Counted = memory::Counted;

/// Bytes are counted for all threads together: one test at a time.
static ALONE: Mutex<()> = Mutex::new(());

/// No other notebooks.
struct Empty;

impl Shelf for Empty {
    fn text(&self, _: &Path) -> Result<String, String> {
        Err("there is no such file".to_owned())
    }

    fn beside(&self, _: &Path) -> Vec<String> {
        Vec::new()
    }
}

fn worked_out(text: &str) -> Workspace {
    Workspace::of_text(Path::new("part.job"), text, &Empty)
}

/// `head`, and `count` lines.
fn lines(head: &str, count: usize, line: impl Fn(usize) -> String) -> String {
    let mut text = head.to_owned();
    for number in 0..count {
        let _ = writeln!(text, "{}", line(number));
    }
    text
}

/// The bytes that working a notebook and its sheet out asks for.
fn bytes(text: &str) -> usize {
    memory::given(|| {
        let workspace = worked_out(text);
        let _ = Sheet::of(&workspace);
    })
}

/// A notebook of ten times as many lines takes about ten times as much, and not a hundred times.
#[track_caller]
fn grows_evenly(notebook: impl Fn(usize) -> String) {
    let _alone = ALONE.lock();
    // What is made once, is made here.
    bytes(&notebook(10));
    let (small, large) = (bytes(&notebook(150)), bytes(&notebook(1_500)));
    let times = large as f64 / small as f64;
    assert!(
        times < 20.0,
        "{small} bytes, then {large}: {times:.1} times"
    );
}

#[test]
fn an_op_for_each_row_grows_with_its_rows() {
    grows_evenly(|count| {
        format!("p = pitch_circle({count}, 40 mm)\nop for h over p: X {{h.x}}, Y {{h.y}}\n")
    });
}

#[test]
fn limits_grow_with_their_sizes() {
    grows_evenly(|count| lines("", count, |n| format!("s{n} = {} mm H7", n % 400 + 1)));
}

/// Each part would fail somewhere between the limits of the one size.
#[test]
fn checks_that_miss_at_the_limits_grow_with_their_number() {
    let line = |_: usize| "check x <= 1.005 mm".to_owned();
    grows_evenly(|count| lines("x = 1 mm H7\n", count, line));
}

#[test]
fn running_sums_grow_with_their_length() {
    let line = |n: usize| format!("t{n} = 1 mm ±0.1\ns{} = s{n} + t{n}", n + 1);
    grows_evenly(|count| lines("s0 = 1 mm ±0.1\n", count, line));
}

/// No program takes a text: each of these is worked out by the ordinary evaluator, and none
/// before the one that it needs.
#[test]
fn chains_of_texts_grow_with_their_length() {
    let line = |n: usize| format!("t{} = t{n}", n + 1);
    let head = "a = 1 mm ±0.1\nt0 = if a > 1 mm then \"x\" else \"y\"\n";
    grows_evenly(|count| lines(head, count, line));
}

/// Each op rests on all before it: what to mind is looked for in each once. Enough of them
/// that this is most of what they take.
#[test]
fn ops_on_a_chain_grow_with_its_length() {
    let line = |n: usize| format!("c{} = c{n} * 1\nop Turn {{c{n}}}", n + 1);
    grows_evenly(|count| lines("c0 = 1 mm\n", 4 * count, line));
}

/// None copies all values to find that its share of the steps is too small for it.
#[test]
fn graphs_grow_with_their_number() {
    let line = |n: usize| {
        let graph = "draw graph of c0 over a from 1 mm to 3 mm by 0.5 mm";
        format!("c{} = c{n} * 1\n{graph}", n + 1)
    };
    grows_evenly(|count| lines("a = 1 mm\nc0 = a * 2\n", 2 * count, line));
}

#[test]
fn equations_grow_with_their_number() {
    let line = |n: usize| format!("find x{n} between 0 mm and 90 mm so that x{n} * 2 = a");
    grows_evenly(|count| lines("a = 10 mm ±0.1\n", count, line));
}

#[test]
fn checks_that_fail_grow_with_their_number() {
    grows_evenly(|count| lines("", count, |n| format!("check {n} mm > {} mm", n + 1)));
}

#[test]
fn records_of_choices_grow_with_their_number() {
    let line = |n: usize| format!("r{n} = taper(\"MT3\")");
    grows_evenly(|count| lines("", count, line));
}

/// For each measured result all that moves is gone through again: the steps run out.
#[test]
fn measured_results_are_bounded() {
    let _alone = ALONE.lock();
    let line = |n: usize| format!("r{n} = a * {n}\nmeasured r{n} = {} mm", n * 10);
    let text = lines("a = 10 mm ±0.1\n", 2_400, line);
    let workspace = worked_out(&text);
    let sheet = serde_json::to_string(&Sheet::of(&workspace)).expect("JSON");
    let told = sheet.matches("possible; at the aim").count();
    assert!((500..2_400).contains(&told), "{told}");
}

/// Programs of tables by a rule are made for some, and the rest is worked out without:
/// before, 16,000 such lines took 3 GB.
#[test]
fn programs_of_rules_are_bounded() {
    let _alone = ALONE.lock();
    let line =
        |n: usize| format!("r{n} = rows for d from 1 to 20 by 1 with x = abs(d * a - b) - a");
    let text = lines("a = 1 mm ±0.1\nb = 2 mm ±0.1\n", 2_000, line);
    let most = memory::most(|| {
        let workspace = worked_out(&text);
        assert!(problems(&workspace).is_empty());
        let _ = Sheet::of(&workspace);
    });
    assert!(most < 250_000_000, "{most} bytes");
}

/// An equation takes no more steps than are left of those of all evaluations.
#[test]
fn equations_share_the_steps_of_a_notebook() {
    let _alone = ALONE.lock();
    let spent = "f(n) = if n < 1 then 1 else f(n - 1) + f(n - 1)\n";
    let spent = lines(spent, 8, |n| format!("b{n} = f(17) + {n}"));
    let text = lines(&spent, 3, |n| {
        format!(
            "find x{n} between 0 and 9 so that x{n}^4 - 4 * x{n}^3 + 6 * x{n}^2 - 4 * x{n} + 1 = 0"
        )
    });
    let workspace = worked_out(&text);
    let found = problems(&workspace);
    let last = &found.last().expect("a problem").diagnostic;
    let said = "all that the notebook works out takes too many steps";
    assert!(last.message.contains(said), "{last:?}");
}

/// What lays tables out takes the square of a word's length to break it.
#[test]
fn long_words_take_what_their_length_asks_for() {
    let _alone = ALONE.lock();
    let look = TerminalStyle {
        width: 80,
        colour: false,
    };
    let given = |length: usize| {
        let word = "x".repeat(length);
        let workspace = worked_out(&format!("a = 1 mm # {word}\nb = \"{word}\"\nop {word}\n"));
        let sheet = Sheet::of(&workspace);
        memory::given(|| {
            let printed = terminal(&sheet, look);
            assert_eq!(printed.matches('x').count(), 3 * length);
        })
    };
    given(1_000);
    let (small, large) = (given(3_000), given(30_000));
    let times = large as f64 / small as f64;
    assert!(
        times < 15.0,
        "{small} bytes, then {large}: {times:.1} times"
    );
}

/// The message of a notebook that meets a bound, and the most bytes that lived at once.
#[track_caller]
fn meets(text: &str, said: &str) {
    let _alone = ALONE.lock();
    let mut found = Vec::new();
    let most = memory::most(|| {
        let workspace = worked_out(text);
        let _ = Sheet::of(&workspace);
        found = problems(&workspace)
            .into_iter()
            .map(|problem| problem.diagnostic)
            .collect();
    });
    let says = found.iter().any(|wrong| {
        wrong.message.contains(said) || wrong.advice.as_ref().is_some_and(|a| a.contains(said))
    });
    assert!(
        says,
        "{said}: {:?}",
        found.iter().take(5).collect::<Vec<_>>()
    );
    assert!(most < 400_000_000, "{said}: {most} bytes");
}

#[test]
fn what_is_too_much_is_said() {
    meets(
        &lines("", 1_100, |n| format!("use n{n}")),
        "a notebook uses at most 1000 others",
    );
    meets(
        &lines("a = 1 mm\n", 20, |_| {
            "vary a from 1 mm to 10000 mm by 1 mm show a".to_owned()
        }),
        "this table would have 10000 rows of 1 values; the what-if tables and graphs of a \
         notebook share 120000 values, 6000 each",
    );
    let fields: Vec<String> = (0..3_000).map(|n| format!("f{n}: 1")).collect();
    meets(
        &lines(&format!("r = record({})\n", fields.join(", ")), 50, |n| {
            format!("a{n} = r.other{n}")
        }),
        "f29 and 2970 more",
    );
    meets(
        &lines("p = pitch_circle(10000, 40 mm)\n", 5, |_| {
            "op for h over p: {h.x}".to_owned()
        }),
        "the lists, tables and texts of this notebook have more than 120000 values in all",
    );
    let parameters: Vec<String> = (0..500).map(|n| format!("p{n}")).collect();
    let function = format!("f({}) = p0\n", parameters.join(", "));
    meets(&lines(&function, 20, |_| "f(1)".to_owned()), "…");
}

/// No more statements are read than a notebook may hold.
#[test]
fn statements_are_bounded() {
    meets(
        &"[]\n".repeat(120_001),
        "a notebook holds at most 120000 statements",
    );
}
