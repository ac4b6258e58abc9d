//! The lines of pictures against formulas of their own.

use crate::markup::near;
use crate::pages::{drawn, page};

#[test]
fn holes_stand_where_the_table_puts_them() {
    // Machinery's Handbook, hole coordinates for 6 holes on a circle of diameter 1
    // about its centre: 0.5 and 0.25 with 0.43301.
    let rows = [
        (40.0, 0.0),
        (20.0, 34.641),
        (-20.0, 34.641),
        (-40.0, 0.0),
        (-20.0, -34.641),
        (20.0, -34.641),
    ];
    let mut text = "table flange\n| x | y | diameter |\n".to_owned();
    for (x, y) in rows {
        text += &format!("| {x} mm | {y} mm | 6.6 mm |\n");
    }
    let picture = drawn(&(text + "draw holes of flange with chords\n"));
    assert_eq!(picture.scale(), 1.0, "86.6 mm fit on a page at full size");
    let holes = picture.circles("hole");
    assert_eq!(holes.len(), 6);
    for ((x, y), (cx, cy, r)) in rows.iter().zip(&holes) {
        near(*cx, *x);
        near(*cy, -*y);
        near(*r, 3.3);
    }
    // The side of a regular hexagon is its radius (Euclid IV, 15).
    let texts = picture.texts();
    assert_eq!(
        texts.iter().filter(|text| *text == "40").count(),
        6 + 1,
        "{texts:?}"
    );
    for wanted in [
        "6× ⌀6.6",
        "⌀80",
        "34.641",
        "−34.641",
        "−40",
        "1",
        "6",
        "X",
        "Y",
    ] {
        assert!(
            texts.iter().any(|text| text == wanted),
            "{wanted} in {texts:?}"
        );
    }
    let pitch = picture.circles("pitch-circle");
    assert_eq!(pitch.len(), 1);
    near(pitch[0].2, 40.0);
    // The datum stands at the origin, and where the dimension lines begin.
    let origins = picture.circles("origin");
    assert_eq!(origins.len(), 3);
    near(origins[0].0, 0.0);
    near(origins[0].1, 0.0);
}

/// The size of a hole is written near it where a leader from the side would run over
/// another hole; angles' texts keep clear of the cutter's circle.
#[test]
fn no_leader_runs_over_another_hole_and_no_angle_over_the_cutter() {
    let picture = drawn(
        "table t\n| x | y | size |\n| 0 mm | 0 mm | 12 mm H7 |\n| 30 mm | 2 mm | 8 mm |\n| 64 mm | 0 mm | 12 mm f7 |\ndraw holes of t\n",
    );
    let holes = picture.circles("hole");
    // From the tips of arrows to the texts' underlines: each near one hole only.
    for leader in picture.lines("t") {
        let [x1, y1, x2, y2] = leader;
        let long = (x2 - x1).hypot(y2 - y1);
        let crossed = holes.iter().filter(|(x, y, r)| {
            let along = ((x - x1) * (x2 - x1) + (y - y1) * (y2 - y1)) / (long * long);
            let along = along.clamp(0.0, 1.0);
            let off = (x1 + along * (x2 - x1) - x).hypot(y1 + along * (y2 - y1) - y);
            off < r - 0.1
        });
        let slanting = (x2 - x1).abs() > 1.0 && (y2 - y1).abs() > 1.0;
        assert!(!slanting || crossed.count() == 0, "{leader:?} over a hole");
    }
    let picture =
        drawn("draw rotary table(radius: 30 mm, cutter: 8 mm, from: 350 deg, to: 10 deg)\n");
    let cutters = picture.circles("cutter");
    assert_eq!(cutters.len(), 2);
    for wanted in ["350°", "10°", "340°"] {
        let (x, y) = picture.place_of(wanted);
        for (cx, cy, r) in &cutters {
            assert!(
                (x - cx).hypot(y - cy) > *r,
                "{wanted} at {x}, {y} on a cutter"
            );
        }
    }
}

/// Two hundred holes: on a grid each row has its first and last number, on a circle and
/// in one row they are counted on by tens or fives; the table beside has every hole.
#[test]
fn holes_too_close_for_a_number_each_are_counted_along_rows() {
    let numbers = |statement: &str| {
        let text = format!("t = {statement}\ndraw holes of t\n");
        let texts = drawn(&text).texts();
        let numbers: Vec<usize> = texts.iter().filter_map(|text| text.parse().ok()).collect();
        let page = page(&text);
        let table = page
            .split("aria-label=\"coordinates\"")
            .nth(1)
            .expect("a table");
        let table = table.split("</table>").next().expect("its end");
        let rows = table.matches("<tr>").count() - 1;
        let mut sorted = numbers.clone();
        sorted.sort_unstable();
        (rows, sorted, page)
    };
    let (rows, found, shown) = numbers("hole_grid(20, 10, 6 mm, 6 mm)");
    let ends = (0..10).flat_map(|row| [20 * row + 1, 20 * row + 20]);
    assert_eq!((rows, found), (200, ends.collect::<Vec<_>>()));
    assert!(shown.contains("count on along each row"), "no words");
    let (rows, found, shown) = numbers("pitch_circle(200, 300 mm)");
    let tens = std::iter::once(1).chain((1..=20).map(|ten| 10 * ten));
    assert_eq!((rows, found), (200, tens.collect::<Vec<_>>()));
    assert!(shown.contains("count on round the circle"), "no words");
    let (rows, found, _) = numbers("hole_row(60, 5 mm)");
    let fives = std::iter::once(1).chain((2..=12).map(|five| 5 * five));
    assert_eq!((rows, found), (60, fives.collect::<Vec<_>>()));
    // Where they are in no rows, each has its number.
    let scattered = (0..30).map(|hole| (hole * 37 % 130, hole * 53 % 120));
    let scattered = scattered.map(|(x, y)| format!("| {x} mm | {y} mm |\n"));
    let text = format!(
        "table t\n| x | y |\n{}draw holes of t\n",
        scattered.collect::<String>()
    );
    let texts = drawn(&text).texts();
    for number in 1..=30 {
        assert!(texts.contains(&number.to_string()), "{number} in {texts:?}");
    }
    assert!(!page(&text).contains("count on along"), "words too many");
}

#[test]
fn a_large_pattern_is_reduced_by_a_standard_scale() {
    let picture = drawn(
        "table plate\n| x | y | size |\n| 0 mm | 0 mm | 12 mm |\n| 400 mm | 150 mm | 12 mm |\ndraw holes of plate\n",
    );
    // ISO 5455: 1:5 is the largest reduction that brings 412 mm under 92 mm.
    assert_eq!(picture.scale(), 0.2);
    let holes = picture.circles("hole");
    near(holes[1].0, 80.0);
    near(holes[1].1, -30.0);
    near(holes[1].2, 1.2);
}

/// Where a tangent from the outer centre of similitude touches a circle of radius
/// `r` about `middle`: an elementary construction that uses no angle.
fn touch(radius: f64, from_similitude: f64) -> (f64, f64) {
    let x = radius * radius / from_similitude;
    (x, (radius * radius - x * x).sqrt())
}

#[test]
fn flanks_touch_the_ends_of_a_lever() {
    let (big, small, centres, cutter) = (14.0, 9.0, 70.0, 8.0);
    let picture = drawn(
        "draw lever(big: 28 mm, small: 18 mm, centres: 70 mm, cutter: 16 mm, big_bore: 14 mm)\n",
    );
    let scale = picture.scale();
    assert_eq!(scale, 1.0);
    // The centre of similitude lies beyond the small end.
    let away = centres * big / (big - small);
    let (bx, by) = touch(big, away);
    let (sx, sy) = touch(small, away - centres);
    let dots = picture.circles("tangent");
    assert_eq!(dots.len(), 4);
    for (dot, (x, y)) in
        dots.iter()
            .zip([(bx, -by), (bx, by), (centres + sx, -sy), (centres + sx, sy)])
    {
        near(dot.0, x);
        near(dot.1, y);
    }
    let (letters, n) = picture.path("outline");
    assert_eq!(letters, "MLALAZ");
    for (found, expected) in n[..4].iter().zip([bx, -by, centres + sx, -sy]) {
        near(*found, expected);
    }
    // The small arc: radius, less than half a turn, clockwise on the drawing.
    assert_eq!(n[4..9], [small, small, 0.0, 0.0, 1.0]);
    near(n[9], centres + sx);
    near(n[10], sy);
    near(n[11], bx);
    near(n[12], by);
    // The big arc: radius, more than half a turn.
    assert_eq!(n[13..18], [big, big, 0.0, 1.0, 1.0]);
    // The cutter's centre runs its radius outside, parallel to the flank.
    let (_, path) = picture.path("cutter-path");
    let (px, py) = (bx * (big + cutter) / big, by * (big + cutter) / big);
    near(path[0], px);
    near(path[1], -py);
    assert_eq!(path[4], small + cutter);
    assert_eq!(path[13], big + cutter);
    let flank = (path[2] - path[0]).hypot(path[3] - path[1]);
    near(flank, (centres + sx - bx).hypot(sy - by));
    let texts = picture.texts();
    // sin a = (28 - 18) / 140, a = 4.0960 degrees; sqrt(70^2 - 5^2) = 69.8212.
    for wanted in ["R14", "R9", "70", "69.821", "4.096°", "⌀14", "⌀16 cutter"] {
        assert!(
            texts.iter().any(|text| text == wanted),
            "{wanted} in {texts:?}"
        );
    }
}

#[test]
fn a_link_with_equal_ends_has_parallel_flanks() {
    let picture = drawn("draw lever(16 mm, 16 mm, 40 mm)\n");
    let scale = picture.scale();
    let (_, n) = picture.path("outline");
    near(n[0], 0.0);
    near(n[1], -8.0 * scale);
    near(n[2], 40.0 * scale);
    near(n[3], -8.0 * scale);
}

#[test]
fn a_turned_profile_steps_tapers_and_chamfers() {
    let picture = drawn(
        "table spindle\n\
         | diameter | length | end_diameter | thread | chamfer | bore |\n\
         | 20 mm | 18 mm | | \"M20x1.5\" | 1.5 mm | 8 mm |\n\
         | 30 mm | 10 mm | | | | 8 mm |\n\
         | 24 mm | 28 mm | 20 mm | | | |\n\
         draw turned profile of spindle\n",
    );
    assert_eq!(picture.scale(), 2.0, "56 mm fit on a page at 2:1");
    let points = picture.points("profile");
    let expected = [
        (0.0, 0.0),
        (0.0, 8.5),
        (1.5, 10.0),
        (18.0, 10.0),
        (18.0, 15.0),
        (28.0, 15.0),
        (28.0, 12.0),
        (56.0, 10.0),
        (56.0, 0.0),
    ];
    assert_eq!(points.len(), expected.len());
    for ((x, y), (ex, ey)) in points.iter().zip(expected) {
        near(*x, 2.0 * ex);
        near(*y, -2.0 * ey);
    }
    // ISO 724 and ISO 68-1: the root of an external thread with the rounded root
    // of H/8 lies 17/24 H deep, d3 = d - 1.22687 P = 18.1597 for M20x1.5. The line
    // begins at the chamfer, (20 - 18.1597)/2 below the crest.
    let root = (20.0 - 1.226_87 * 1.5) / 2.0;
    let drawn = picture.lines("t").into_iter().any(|[x1, y1, x2, y2]| {
        (y1 + 2.0 * root).abs() < 0.002
            && (y2 + 2.0 * root).abs() < 0.002
            && (x1 - 2.0 * (root - 8.5)).abs() < 0.002
            && (x2 - 36.0).abs() < 0.002
    });
    assert!(drawn, "no root line at {root}");
    // The bore is seen in the cut half only.
    let bore: Vec<_> = picture
        .lines("o")
        .into_iter()
        .filter(|[_, y1, _, y2]| (y1 + 8.0).abs() < 1e-9 && (y2 + 8.0).abs() < 1e-9)
        .collect();
    assert_eq!(bore.len(), 2);
    let texts = picture.texts();
    for wanted in [
        "M20x1.5",
        "⌀30",
        "⌀24",
        "⌀20",
        "bore ⌀8",
        "1.5×45°",
        "18",
        "10",
        "28",
        // Follows from the others: an auxiliary dimension (ISO 129-1).
        "(56)",
    ] {
        assert!(
            texts.iter().any(|text| text == wanted),
            "{wanted} in {texts:?}"
        );
    }
}

#[test]
fn stations_count_from_the_right_hand_end() {
    let picture = drawn(
        "table pin\n| diameter | length |\n| 10 mm | 12 mm |\n| 8 mm | 5.5 mm |\n| 6 mm | 20 mm |\n\
         draw turned profile of pin with stations, half view\n",
    );
    let texts = picture.texts();
    // 37.5, 25.5 and 20 are sums of the lengths.
    for wanted in ["37.5", "25.5", "20", "0"] {
        assert!(
            texts.iter().any(|text| text == wanted),
            "{wanted} in {texts:?}"
        );
    }
    assert!(picture.points("profile").iter().all(|(_, y)| *y <= 0.0));
}

#[test]
fn a_taper_has_its_angle_and_its_reading() {
    let picture = drawn("draw taper(big: 25 mm, small: 20 mm, length: 50 mm, travel: 40 mm)\n");
    let [a, b, c, d] = picture.points("taper")[..] else {
        panic!("a taper has four corners");
    };
    let scale = picture.scale();
    near(b.0 - a.0, 50.0 * scale);
    near(d.1 - a.1, 25.0 * scale);
    near(c.1 - b.1, 20.0 * scale);
    // The slide's edge is parallel to the flank on the operator's side.
    let slide = picture.points("slide");
    let slope = |p: (f64, f64), q: (f64, f64)| (q.1 - p.1) / (q.0 - p.0);
    assert!((slope(slide[0], slide[1]) - slope(d, c)).abs() < 1e-3);
    let texts = picture.texts();
    // tan a = 2.5 / 50, a = 2.8624 degrees; 40 tan a = 2 exactly.
    for wanted in ["2.862°", "40", "2", "⌀25", "⌀20", "50"] {
        assert!(
            texts.iter().any(|text| text == wanted),
            "{wanted} in {texts:?}"
        );
    }
    // Along the top slide the travel is the hypotenuse: 25 sin 30 degrees = 12.5.
    let picture = drawn(
        "draw taper(big: 20 mm, small: 20 mm - 40 mm * tan(30 deg) / 2, length: 10 mm, travel: 25 mm, along: \"top slide\")\n",
    );
    let texts = picture.texts();
    assert!(texts.iter().any(|text| text == "12.5"), "{texts:?}");
    assert!(texts.iter().any(|text| text == "30°"), "{texts:?}");
}

#[test]
fn the_rotary_table_turns_about_its_centre() {
    let picture =
        drawn("draw rotary table(radius: 14 mm, cutter: 16 mm, from: -90 deg, to: 60 deg)\n");
    let scale = picture.scale();
    let cutters = picture.circles("cutter");
    // 22 mm from the centre: at -90 degrees straight down, at 60 degrees
    // (1/2, sqrt(3)/2) of it.
    near(cutters[0].0, 0.0);
    near(cutters[0].1, 22.0 * scale);
    near(cutters[1].0, 11.0 * scale);
    near(cutters[1].1, -22.0 * 0.75_f64.sqrt() * scale);
    near(cutters[0].2, 8.0 * scale);
    let (letters, n) = picture.path("o");
    assert_eq!(letters, "MA");
    near(n[0], 0.0);
    near(n[1], 14.0 * scale);
    // 150 degrees: less than half a turn, counter-clockwise on the drawing.
    assert_eq!(n[4..7], [0.0, 0.0, 0.0]);
    near(n[7], 7.0 * scale);
    near(n[8], -14.0 * 0.75_f64.sqrt() * scale);
    let texts = picture.texts();
    for wanted in ["22", "R14", "⌀16 cutter", "150°", "60°", "−90°"] {
        assert!(
            texts.iter().any(|text| text == wanted),
            "{wanted} in {texts:?}"
        );
    }
    // Inside a curved slot the cutter is its radius nearer: 30 - 8.
    let picture = drawn(
        "draw rotary table(radius: 30 mm, cutter: 16 mm, from: 0 deg, to: 200 deg, side: \"inside\")\n",
    );
    near(picture.circles("cutter")[0].0, 22.0 * picture.scale());
    assert_eq!(picture.path("o").1[4..7], [0.0, 1.0, 0.0]);
}

#[test]
fn inch_notebooks_have_pictures_in_inches() {
    let picture = drawn(
        "lengths inch\ntable plate\n| x | y | size |\n| 1/2 in | 3/4 in | 1/4 in |\n| 25.4 mm | 0 in | 1/8 in |\ndraw holes of plate\n",
    );
    let texts = picture.texts();
    for wanted in ["0.5", "0.75", "1", "⌀0.25", "⌀0.125"] {
        assert!(
            texts.iter().any(|text| text == wanted),
            "{wanted} in {texts:?}"
        );
    }
    near(picture.circles("hole")[1].0, 25.4 * picture.scale());
}

#[test]
fn a_toleranced_size_is_written_with_its_tolerance() {
    let picture = drawn("centres = 70 mm ±0.05\ndraw lever(28 mm, 18 mm, centres)\n");
    let texts = picture.texts();
    assert!(texts.iter().any(|text| text == "70 ±0.05"), "{texts:?}");
    let picture = drawn(
        "bore = 14 mm (+0.018/0)\ndraw lever(28 mm, 18 mm, 70 mm, big_bore: bore, small_bore: 5 mm ±0.1)\n",
    );
    let texts = picture.texts();
    assert!(texts.iter().any(|text| text == "⌀14 +0.018/0"), "{texts:?}");
    assert!(texts.iter().any(|text| text == "⌀5 ±0.1"), "{texts:?}");
    let picture = drawn("bore = 14 mm H7\ndraw lever(28 mm, 18 mm, 70 mm, big_bore: bore)\n");
    let texts = picture.texts();
    assert!(texts.iter().any(|text| text == "⌀14 H7"), "{texts:?}");
}

/// What follows from sizes with limits is the figure to work to, the same as in the
/// rows; outlines and sizes stay as drawn, and so does a taper's slide.
#[test]
fn a_figure_that_follows_is_the_one_of_its_row() {
    let limits =
        "across = 60 mm (0/-0.05)\ntall = 11 mm ±0.05\nbig = 28 mm h11\nsmall = 18 mm h11\n";
    let texts = drawn(&format!(
        "{limits}draw dovetail(width: across, depth: tall, angle: 60 deg, roll: 8 mm)\n"
    ))
    .texts();
    // Machinery's Handbook, measuring dovetail slides: 59.975 - 22 cot 60° + 8 (1 + cot 30°)
    // is 69.1297; over the drawn 60 mm it would be 69.155.
    assert!(texts.iter().any(|text| text == "69.13"), "{texts:?}");
    assert!(texts.iter().any(|text| text == "60 0/−0.05"), "{texts:?}");
    let texts = drawn(&format!(
        "{limits}centres = 70 mm ±0.1\ndraw lever(big: big, small: small, centres: centres)\n"
    ))
    .texts();
    // Right triangle: asin((27.935 - 17.945) / 140), and not asin(10 / 140) = 4.096°.
    assert!(texts.iter().any(|text| text == "4.092°"), "{texts:?}");
    assert!(texts.iter().any(|text| text == "R14"), "{texts:?}");
    // A result has no figure on the drawing: 27.935 / 2, as its row has it.
    let texts = drawn(&format!(
        "{limits}radius = big / 2\ndraw rotary table(radius: radius, cutter: 16 mm, from: 0 deg, to: 90 deg)\n"
    ))
    .texts();
    assert!(
        texts.iter().any(|text| text.contains("13.968")),
        "{texts:?}"
    );
    assert!(
        texts.iter().any(|text| text.contains("21.968")),
        "{texts:?}"
    );
    // What is dialled is in steps of the readout: 70 cos 4.096° is 69.8212.
    let texts =
        drawn("readout 0.005 mm\ndraw lever(big: 28 mm, small: 18 mm, centres: 70 mm)\n").texts();
    assert!(texts.iter().any(|text| text == "69.82"), "{texts:?}");
    let texts = drawn(
        "d = 25 mm (0/-0.05)\ne = 20 mm (+0.05/0)\nl = 50 mm ±0.5\ndraw taper(big: d, small: e, length: l)\n",
    )
    .texts();
    // A taper is set by its drawn ends: atan(5 / 100).
    assert!(texts.iter().any(|text| text == "2.862°"), "{texts:?}");
}
