//! `find`, against closed forms of mathematics.

use std::path::Path;

use setover::internals::language::{SlotId, Value};
use setover::internals::notebook::{Failure, ToleranceAnalysis, Workspace};

use crate::alike::values_of;
use crate::generated::{FILES, Notebooks};
use crate::program::Folder;

fn opened(text: &str) -> Workspace {
    let shelf = Notebooks {
        lines: [vec![], vec![], vec![]],
    };
    Workspace::of_text(Path::new(FILES[0]), text, &shelf)
}

/// A value in coherent SI.
fn si(workspace: &Workspace, name: &str) -> f64 {
    let slot = workspace.find(name).expect("there is one");
    match workspace.outcome(slot) {
        Ok(value) => value.quantity().expect("a quantity").si,
        Err(failure) => panic!("`{name}` has no value: {failure:?}"),
    }
}

/// What is said of a name without a value, with the advice.
fn said(text: &str, name: &str) -> String {
    let workspace = opened(text);
    let slot = workspace.find(name).expect("there is one");
    match workspace
        .outcome(slot)
        .as_ref()
        .map_err(|failure| &**failure)
    {
        Err(Failure::Wrong(wrong)) => {
            let wrong = wrong.first().expect("something is wrong");
            format!(
                "{}; {}",
                wrong.message,
                wrong.advice.clone().unwrap_or_default()
            )
        }
        other => panic!("{other:?}"),
    }
}

fn assert_exact(found: f64, exact: f64) {
    assert!((found / exact - 1.0).abs() <= 1e-12, "{found:e} {exact:e}");
}

#[test]
fn one_root_is_found_to_twelve_figures() {
    for (condition, exact, mathematics) in [
        ("x^2 = 2 mm^2", std::f64::consts::SQRT_2, "square root of 2"),
        ("x^3 = 5 mm^3", 5.0_f64.cbrt(), "cube root of 5"),
        // x^2 - x - 1 = 0
        (
            "x^2 - x * 1 mm = 1 mm^2",
            f64::midpoint(1.0, 5.0_f64.sqrt()),
            "golden ratio",
        ),
        // Cardano: x^3 + 3 x = 4 has the one real root 1
        ("x^3 + 3 mm^2 * x = 4 mm^3", 1.0, "Cardano's cubic"),
        ("3 * x - 7 mm = x", 3.5, "linear"),
        ("1 / x = 0.25 / (1 mm)", 4.0, "reciprocal"),
        // Chord of a circle: c = 2 r sin(a/2), here r for c = 6 mm, a = 60 degrees is 6 mm
        ("2 * x * sin(30 deg) = 6 mm", 6.0, "chord of a circle"),
        ("sqrt(x^2 + (3 mm)^2) = 5 mm", 4.0, "Pythagoras, 3-4-5"),
        ("0.000001 * x = 0.000003 mm", 3.0, "small scale"),
        ("(x - 2.5 mm)^3 = 0 mm^3", 2.5, "triple root"),
        (
            "exp(x / 1 mm) = 10",
            10.0_f64.ln(),
            "natural logarithm of 10",
        ),
    ] {
        let text = format!("find x between 0.1 mm and 8 mm so that {condition}\ny = x * 2\n");
        let workspace = opened(&text);
        println!("{mathematics}");
        assert_exact(si(&workspace, "x"), exact * 1e-3);
        assert_exact(si(&workspace, "y"), exact * 2e-3);
    }
}

#[test]
fn angles_and_bounds_the_other_way_round() {
    // sin 30° = 1/2; the bounds may be given upper first.
    let workspace = opened("find a between 80 deg and 0 deg so that sin(a) = 0.5\n");
    assert_exact(si(&workspace, "a"), std::f64::consts::FRAC_PI_6);
    // A root at a bound itself.
    let workspace = opened("find b between 0 mm and 3 mm so that b = 3 mm\n");
    assert_exact(si(&workspace, "b"), 0.003);
    // Zero between bounds of either sign.
    let workspace = opened("find c between -1 mm and 2 mm so that 5 * c = 0 mm\n");
    assert!(si(&workspace, "c").abs() <= 1e-15);
}

/// The root runs through other cells, which have the values that belong to it.
#[test]
fn a_find_runs_through_other_cells() {
    let text = "radius = 10 mm
half = sqrt(radius^2 - (radius - depth)^2)
flat = 2 * half
find depth between 0 mm and 10 mm so that flat = 12 mm
check flat = 12 mm
";
    let workspace = opened(text);
    // Sagitta of a chord: r - sqrt(r^2 - (c/2)^2) = 10 - sqrt(100 - 36) = 2.
    assert_exact(si(&workspace, "depth"), 0.002);
    assert_exact(si(&workspace, "half"), 0.006);
    assert_exact(si(&workspace, "flat"), 0.012);
    let check = workspace.slots.iter().position(|slot| slot.name.is_empty());
    let check = SlotId::at(check.expect("the check"));
    assert_eq!(workspace.value(check), Some(&Value::Truth(true)));
}

#[test]
fn a_find_within_functions_and_within_another_find() {
    let text = "sagitta(radius, chord) = find s between 0 mm and radius so that (radius - s)^2 + (chord / 2)^2 = radius^2
radius_for(rise, chord) = find r between chord / 2 and 100 * chord so that sagitta(r, chord) = rise
s = sagitta(10 mm, 12 mm)
r = radius_for(2 mm, 12 mm)
bent = 2 * find x between 0 mm and 20 mm so that x + sagitta(10 mm, 16 mm) = 5 mm
";
    let workspace = opened(text);
    assert_exact(si(&workspace, "s"), 0.002);
    // r = c^2 / (8 s) + s / 2 = 144 / 16 + 1 = 10
    assert_exact(si(&workspace, "r"), 0.01);
    // sagitta(10, 16) = 10 - sqrt(100 - 64) = 4, so x = 1.
    assert_exact(si(&workspace, "bent"), 0.002);
}

#[test]
fn several_roots_are_all_named_and_none_is_chosen() {
    let said = said("find x between -5 mm and 5 mm so that x^2 = 4 mm^2\n", "x");
    for part in [
        "2 values of `x` fit",
        "-2.000 mm",
        "2.000 mm",
        "narrow the bounds",
    ] {
        assert!(said.contains(part), "{part}: {said}");
    }
}

#[test]
fn without_a_root_the_values_at_both_ends_are_said() {
    let said = said("find x between 1 mm and 2 mm so that 3 * x = 12 mm\n", "x");
    for part in [
        "no `x` between 1.000 mm and 2.000 mm",
        "-9.000 mm at 1.000 mm",
        "-6.000 mm at 2.000 mm",
    ] {
        assert!(said.contains(part), "{part}: {said}");
    }
}

#[test]
fn a_pole_is_no_root_and_where_nothing_has_a_value_the_reason_is_said() {
    let pole = said(
        "find x between 1 mm and 2 mm so that 1 / (x - 1.51 mm) = 0 / (1 mm)\n",
        "x",
    );
    assert!(pole.contains("no `x`"), "{pole}");
    let never = said(
        "find x between 1 mm and 2 mm so that sqrt(-x^2) = 1 mm\n",
        "x",
    );
    assert!(never.contains("square root"), "{never}");
    let unlike = said("find x between 1 mm and 2 mm so that x = 3 deg\n", "x");
    assert!(unlike.contains("angle"), "{unlike}");
    let same = said("find x between 1 mm and 1 mm so that x = 1 mm\n", "x");
    assert!(same.contains("both bounds are"), "{same}");
}

#[test]
fn a_solved_cell_has_limits_and_dependents_like_any_other() {
    let workspace = opened(
        "web = 8 mm ±0.1\nfind skim between 0 mm and 2 mm so that web - 2 * skim = 7.6 mm\nleft = web - skim\n",
    );
    let travel = ToleranceAnalysis::of(&workspace);
    let slot = workspace.find("skim").expect("there is one");
    let limits = &travel.limits[&slot];
    // skim = (web - 7.6 mm) / 2, so ±0.1 mm of the web is ±0.05 mm.
    assert_exact(limits.nominal, 0.000_2);
    assert_exact(limits.low, 0.000_15);
    assert_exact(limits.high, 0.000_25);
    let left = workspace.find("left").expect("there is one");
    let limits = &travel.limits[&left];
    // left = (web + 7.6 mm) / 2
    assert_exact(limits.low, 0.007_75);
    assert_exact(limits.high, 0.007_85);
}

/// What the drawing gives is solved for with the drawing's sizes.
#[test]
fn a_reading_moves_the_solution_and_the_drawing_keeps_its_own() {
    let workspace = opened(
        "bore = 12 mm H7\nmeasured bore = 12.01 mm\nfind wall between 0 mm and 20 mm so that 2 * wall + bore = 26 mm\nhalf = wall / 2\n",
    );
    assert_exact(si(&workspace, "wall"), 0.006_995);
    let drawn = |name: &str| {
        let slot = workspace.find(name).expect("there is one");
        let faces = workspace.faces.get(&slot).expect("another value");
        faces
            .drawn
            .as_ref()
            .expect("a value")
            .quantity()
            .expect("a quantity")
            .si
    };
    assert_exact(drawn("wall"), 0.007);
    assert_exact(drawn("half"), 0.003_5);
}

#[test]
fn one_expression_solves_at_the_shell() {
    let folder = Folder::of(&[]);
    let ran = folder.run(&["calc", "find x between 0 mm and 9 mm so that x^2 = 2 mm^2"]);
    assert_eq!((ran.status, ran.out.trim()), (0, "1.414 mm"), "{}", ran.err);
}

/// Checks that a change in memory says of each cell what its text says afresh.
fn said_alike(text: &str, name: &str, [was, is]: [&str; 2]) {
    let mut kept = opened(text);
    let slot = kept.find(name).expect("a cell");
    kept.redefine(slot, is).expect("it is taken");
    let line = |formula| format!("{name} = {formula} ");
    let [kept, afresh] = [kept, opened(&text.replace(&line(was), &line(is)))].map(|workspace| {
        let items = workspace.pages.iter().flat_map(|page| &page.items);
        let slots = items.filter_map(|item| item.slot);
        slots
            .flat_map(|slot| values_of(&workspace, slot))
            .collect::<Vec<_>>()
    });
    // Places count in another text.
    let without = |facts: &[String]| {
        let facts = facts.iter().map(|fact| fact.split("span: Span").next());
        facts
            .map(|fact| fact.map(str::to_owned))
            .collect::<Vec<_>>()
    };
    assert_eq!(without(&kept), without(&afresh), "{text}");
}

/// What a cell of a ring held before it came into it says nothing of the ring.
#[test]
fn a_ring_without_a_solution_says_what_it_says_afresh() {
    let text = "h = 1 + g\ng = b\na = d H7\nfind b between 0 mm and 90 mm so that a = 1 mm\nf(x) = x + 1 mm";
    said_alike(text, "a", ["d", "f(h)"]);
}

/// A look-up is as much of a decision when its formula holds it as known.
#[test]
fn what_is_looked_up_decides_no_otherwise_the_second_time() {
    let text = "g = 42 mm H7\nb = max(thread(\"M8\").pitch * 2, g)\nc = b + g";
    said_alike(text, "g", ["42 mm", "43 mm"]);
}
