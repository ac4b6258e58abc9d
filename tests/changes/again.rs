//! What is worked out for the third time is what it would be for the first: cells are
//! worked out again by compiled formulas, which must give the same to the last bit.

use std::path::Path;

use setover::internals::notebook::{PageId, Workspace};

use crate::alike::{difference, everything};
use crate::texts::Texts;

/// Formulas of every kind over two lengths and a turn.
const FORMULAS: &str = "
x = a + b / 3 - 0.1 mm
product = a * b / 7
power = (a / b)^3
root = sqrt(a^2 + b^2)
turned = a * cos(t) - b * sin(t) + a * tan(t / 3)
angle = atan2(b, a) + asin(min(1, abs(b / a)))
least = min(a, b, x) + max(a, 2 * b)
rounded = round(a / 3, 0.05 mm) + round_up(b, 0.1 mm) - round_down(a, 1 in)
rest = remainder(a, 7 mm)
chosen = if a > b and not (x < 3 mm) then a - b else b - a
inner = (y + y^2 / a) where y = a - 2 * b
inches = (a + b) as in
same = a
shown = a as in
sizes = chain * 2 + a
chain = a - b
drawn = a.drawn + b.drawn
upper = a.max - b.min
own(x) = x * a / 3
call = own(b) + 1 mm
edge = hypotenuse + 1 mm
hypotenuse = sqrt(a^2 + b^2)
speed = cutting_speed(\"mild steel\", \"HSS\")
turns = spindle_speed(speed, a)
mix = mean(a, b, x) + sum([a, b])
listed = [a, b, a + b]
first_one = first(listed) + a
truth = a > 2 * b
text = if truth then \"long\" else \"short\"
find z between 0 mm and 1000 mm so that z * a = b * 60 mm
after = z / 2 + a
check a >= b
check x - a < 2 mm or truth
check truth
op Turn to {a - 1 mm}, then {x}.
vary b from 10 mm to 14 mm by 2 mm show x, root, chosen, after
";

fn notebook(a: &str, b: &str, t: &str) -> String {
    format!("a = {a}\nb = {b}\nt = {t}\n{FORMULAS}")
}

fn opened(text: &str) -> Workspace {
    Workspace::of_text(Path::new("part.job"), text, &Texts(&[]))
}

#[test]
fn a_value_does_not_hang_on_how_often_it_was_worked_out() {
    let tried = [
        ("40 mm", "12 mm", "30 deg"),
        ("41 mm", "12 mm", "30 deg"),
        ("41.3 mm", "12.7 mm", "-14.5 deg"),
        ("12.7 mm", "41.3 mm", "0.2 rad"),
        ("1.6 in", "12.7 mm", "10 deg"),
        ("1.7 in", "0.5 in", "10 deg"),
        ("42 mm", "0.5 in", "10 deg"),
        ("42 mm ±0.1", "12 mm", "10 deg"),
        ("43 mm ±0.1", "12 mm (+0.2/0)", "10 deg ±0.5"),
        ("43.5 mm (0/-0.3)", "12.5 mm (+0.2/0)", "11 deg ±0.5"),
        ("43 mm", "13 mm", "11 deg"),
        ("0 mm", "13 mm", "11 deg"),
        ("0 mm", "0 mm", "11 deg"),
        ("-3 mm", "2 mm", "11 deg"),
        ("1e200 mm", "1e200 mm", "90 deg"),
        ("40", "13 mm", "11 deg"),
        ("40 kg", "13 kg", "11 deg"),
        ("\"forty\"", "13 mm", "11 deg"),
        ("[1 mm, 2 mm]", "13 mm", "11 deg"),
        ("2 > 1", "13 mm", "11 deg"),
        ("missing + 1 mm", "13 mm", "11 deg"),
        ("44 mm", "13 mm", "11 deg"),
        ("45 mm", "14 mm", "12 deg"),
        ("46 mm", "15 mm", "13 deg"),
    ];
    let (a, b, t) = tried[0];
    let mut kept = opened(&notebook(a, b, t));
    let is_wrong = everything(&kept).iter().any(|fact| fact.contains("Broken"));
    assert!(!is_wrong, "the formulas can be read");
    for (number, (a, b, t)) in tried.iter().chain(&tried).enumerate() {
        let text = notebook(a, b, t);
        kept.update_text(PageId::MAIN, &text, &Texts(&[]));
        let afresh = opened(&text);
        let different = difference(&everything(&kept), &everything(&afresh));
        assert_eq!(different, None, "after change {number} to {a}, {b}, {t}");
    }
}
