//! The pictures of set-ups and of gauging, one test each.

use super::{Part, all, extreme, figure, labels_only, with_each};
use crate::markup::{Picture, near};

#[test]
fn length_stack() {
    all("length stack", |chance, index| {
        let mut text = format!("table t{index}\n| part | length | space |\n");
        let mut labels = Vec::new();
        let mut lengths = Vec::new();
        for part in 0..chance.count(1, 7) {
            let length = chance.size(0.1, 60.0, 0.1);
            text += &format!("| \"p{part}\" | {length} mm | |\n");
            labels.extend([figure(length), format!("p{part}")]);
            lengths.push(length);
        }
        let gap = chance.size(0.0, 0.5, 0.05);
        let space: f64 = lengths.iter().sum::<f64>() + gap;
        text +=
            &format!("| \"housing\" | {space:.3} mm | \"yes\" |\ndraw length stack of t{index}\n");
        labels.extend([format!("housing {}", figure(space)), figure(gap)]);
        Part {
            text,
            labels,
            lines: Box::new(move |picture: &Picture, scale| {
                let first = picture.points("part");
                near(first[1].0 - first[0].0, lengths[0] * scale);
                let walls = picture.points("space");
                near(
                    walls[3].0 - walls[2].0,
                    (space * 1000.0).round() / 1000.0 * scale,
                );
            }),
        }
    });
    extreme(
        "length stack",
        &with_each(
            "table t\n| length | space |\n| @ | |\n| 3 mm | \"y\" |\ndraw length stack of t\n",
        ),
    );
    extreme(
        "length stack",
        &with_each(
            "table t\n| length | space |\n| 3 mm | |\n| @ | \"y\" |\ndraw length stack of t\n",
        ),
    );
}

#[test]
fn dovetail_over_rolls() {
    all("dovetail", |chance, _| {
        let depth = chance.size(8.0, 40.0, 0.5);
        let width = 4.0 * depth + chance.size(0.0, 120.0, 0.5);
        let angle = chance.size(45.0, 75.0, 5.0);
        let roll = (depth * chance.size(0.3, 0.9, 0.1) * 2.0).round() / 2.0;
        let female = chance.odds();
        let kind = if female { "female" } else { "male" };
        let text = format!(
            "draw dovetail(width: {width} mm, depth: {depth} mm, angle: {angle} deg, roll: {roll} mm, kind: \"{kind}\")\n"
        );
        let labels = vec![
            figure(width),
            figure(depth),
            format!("{}°", figure(angle)),
            format!("⌀{}", figure(roll)),
        ];
        Part {
            text,
            labels,
            lines: Box::new(move |picture: &Picture, scale| {
                let points = picture.points("dovetail");
                let face = if female { points[1].0 } else { points[2].0 };
                near(face, width / 2.0 * scale);
                // Each roll touches the base, and its distance from the line of the side
                // is its radius (y downwards).
                let side = if female {
                    (points[2], points[1])
                } else {
                    (points[1], points[2])
                };
                let ((x, y), (dx, dy)) = (side.0, (side.1.0 - side.0.0, side.1.1 - side.0.1));
                let touches = picture.circles("roll").into_iter().any(|(cx, cy, r)| {
                    let away = ((cx - x) * dy - (cy - y) * dx).abs() / dx.hypot(dy);
                    (away - r).abs() < 0.01
                        && (cy + r).abs() < 0.002
                        && (r - roll / 2.0 * scale).abs() < 0.002
                });
                assert!(touches, "the roll does not lie in the corner");
            }),
        }
    });
    extreme(
        "dovetail",
        &with_each("draw dovetail(width: @, depth: 11 mm, angle: 60 deg, roll: 8 mm)\n"),
    );
    extreme(
        "dovetail",
        &with_each("draw dovetail(width: 60 mm, depth: @, angle: 89 deg, roll: @)\n")
            .iter()
            .cloned()
            .chain(with_each(
                "draw dovetail(width: 60 mm, depth: 11 mm, angle: 60 deg, roll: @)\n",
            ))
            .collect::<Vec<_>>(),
    );
}

#[test]
fn vee() {
    all("vee", |chance, _| {
        let angle = chance.size(40.0, 120.0, 10.0);
        let width = chance.size(6.0, 90.0, 0.5);
        let roll = (width * chance.size(0.4, 0.9, 0.1) * 2.0).round().max(1.0) / 2.0;
        let text = format!("draw vee(roll: {roll} mm, width: {width} mm, angle: {angle} deg)\n");
        let labels = vec![
            figure(width),
            format!("⌀{}", figure(roll)),
            format!("{}°", figure(angle)),
        ];
        Part {
            text,
            labels,
            lines: Box::new(move |picture: &Picture, scale| {
                let roll = picture.circles("roll")[0];
                let points = picture.points("vee");
                near(points[3].0 - points[1].0, width * scale);
                // The roll touches the side that rises to the right.
                let (x, y) = (points[3].0, -points[3].1);
                let away = (roll.1.abs() * x) / x.hypot(y);
                assert!((away - roll.2).abs() < 0.01, "{away} {}", roll.2);
            }),
        }
    });
    extreme("vee", &with_each("draw vee(roll: @, width: 40 mm)\n"));
    extreme("vee", &with_each("draw vee(roll: 3 mm, width: @)\n"));
}

#[test]
fn dividing_plate() {
    all("dividing plate", |chance, _| {
        let circle = chance.count(3, 99);
        let holes = chance.count(0, circle - 1);
        let turns = chance.count(1, 9);
        let text =
            format!("draw dividing plate(circle: {circle}, holes: {holes}, turns: {turns})\n");
        let mut labels = vec![format!("circle of {circle}"), "pin".to_owned()];
        if holes > 0 {
            labels.push("next".to_owned());
        }
        labels_only(text, labels)
    });
    let odd: Vec<String> = [
        "1", "2", "3", "4", "17", "66", "200", "400", "401", "1e9", "-3", "2.5", "0", "5", "7",
        "12", "99", "100", "300", "399",
    ]
    .iter()
    .map(|circle| format!("draw dividing plate({circle}, 2)\n"))
    .collect();
    extreme("dividing plate", &odd);
}

#[test]
fn the_last_hole_stands_where_the_crank_stops() {
    // 12 of 48 holes are a quarter turn, clockwise from the top.
    let sheet = crate::pages::sheet("draw dividing plate(48, 12)\n");
    let row = sheet.rows().next().unwrap();
    let svg = row.picture.as_ref().unwrap().drawn().svg.unwrap();
    let picture = Picture::of(&svg);
    let used = picture.circles("used");
    let radius = picture.circles("c")[0].2;
    assert_eq!(used.len(), 2);
    near(used[0].1, -radius);
    near(used[1].0, radius);
    assert_eq!(picture.circles("hole").len(), 48);
}

#[test]
fn tailstock() {
    all("tailstock", |chance, _| {
        let taper = chance.size(20.0, 200.0, 1.0);
        let overall = taper + chance.size(0.0, 200.0, 1.0);
        let small = chance.size(5.0, 40.0, 0.5);
        let big = small + chance.size(0.5, 0.1 * taper, 0.5);
        let text = format!(
            "draw tailstock(big: {big} mm, small: {small} mm, taper_length: {taper} mm, overall: {overall} mm)\n"
        );
        Part {
            text,
            labels: vec![
                format!("⌀{}", figure(big)),
                format!("⌀{}", figure(small)),
                figure(taper),
                figure(overall),
            ],
            lines: Box::new(move |picture: &Picture, scale| {
                let points = picture.points("work");
                let long = |a: (f64, f64), b: (f64, f64)| (a.0 - b.0).hypot(a.1 - b.1);
                near(long(points[0], points[5]), big * scale);
                near(long(points[2], points[3]), small * scale);
            }),
        }
    });
    extreme(
        "tailstock",
        &with_each("draw tailstock(20.1 mm, 20 mm, @, @)\n"),
    );
    extreme(
        "tailstock",
        &with_each("draw tailstock(@, 20 mm, 100 mm, 200 mm)\n")
            .iter()
            .cloned()
            .chain(with_each("draw tailstock(20 mm, @, 100 mm, 200 mm)\n"))
            .collect::<Vec<_>>(),
    );
}

#[test]
fn sine_bar() {
    all("sine bar", |chance, _| {
        let length = chance.size(50.0, 300.0, 25.0);
        let angle = chance.size(1.0, 60.0, 0.5);
        let text = format!("draw sine bar(length: {length} mm, angle: {angle} deg)\n");
        Part {
            text,
            labels: vec![figure(length), format!("{}°", figure(angle))],
            lines: Box::new(move |picture: &Picture, scale| {
                let rollers = picture.circles("roller");
                near(
                    rollers[0].1 - rollers[1].1,
                    length * scale * angle.to_radians().sin(),
                );
                near(
                    rollers[1].0 - rollers[0].0,
                    length * scale * angle.to_radians().cos(),
                );
            }),
        }
    });
    extreme("sine bar", &with_each("draw sine bar(@, 30 deg)\n"));
    extreme(
        "sine bar",
        &with_each("draw sine bar(100 mm, 30 deg, blocks: [@])\n")
            .iter()
            .cloned()
            .chain(
                ["0 deg", "60 deg", "1e-9 deg", "0.001 deg"]
                    .iter()
                    .map(|angle| format!("draw sine bar(100 mm, {angle})\n")),
            )
            .collect::<Vec<_>>(),
    );
}

#[test]
fn end_view() {
    all("end view", |chance, _| {
        let diameter = chance.size(20.0, 120.0, 0.5);
        let circle = (diameter * 0.7 * 2.0).round() / 2.0;
        let hole = (diameter * 0.05 * 4.0).round() / 4.0;
        let count = chance.count(1, 12);
        let (flats, bore) = ((diameter * 0.9).round(), (diameter * 0.3).round());
        let text = format!(
            "draw end view(diameter: {diameter} mm, bore: {bore} mm, flats: {flats} mm, count: {count}, pitch_circle: {circle} mm, hole: {hole} mm)\n"
        );
        Part {
            text,
            labels: vec![
                format!("⌀{}", figure(diameter)),
                format!("bore ⌀{}", figure(bore)),
                figure(flats),
                format!("⌀{}", figure(hole)),
                format!("⌀{} pitch circle", figure(circle)),
            ],
            lines: Box::new(move |picture: &Picture, scale| {
                assert_eq!(picture.circles("hole").len(), count as usize);
                near(picture.circles("hole")[0].0, circle / 2.0 * scale);
                let widest = picture
                    .points("outline")
                    .iter()
                    .map(|point| point.0)
                    .fold(0.0, f64::max);
                near(widest, flats / 2.0 * scale);
            }),
        }
    });
    extreme("end view", &with_each("draw end view(@, bore: 3 mm)\n"));
    extreme(
        "end view",
        &with_each("draw end view(20 mm, key_width: @, key_depth: 3 mm)\n")
            .iter()
            .cloned()
            .chain(with_each("draw end view(20 mm, bore: @)\n"))
            .collect::<Vec<_>>(),
    );
}

#[test]
fn shrink_fit() {
    all("shrink fit", |chance, _| {
        let size = chance.size(5.0, 100.0, 1.0);
        let low = chance.size(0.03, 0.08, 0.001);
        let high = low + chance.size(0.005, 0.03, 0.001);
        let grows = chance.size(0.05, 0.2, 0.01);
        let text = format!(
            "draw shrink fit(hole: {size} mm (+0.021/0), shaft: {size} mm (+{high:.3}/+{low:.3}), grows: {grows} mm)\n"
        );
        labels_only(
            text,
            vec![
                figure(size + low),
                figure(size + high),
                format!("hot +{}", figure(grows)),
            ],
        )
    });
    extreme(
        "shrink fit",
        &with_each("draw shrink fit(hole: 12 mm H7, shaft: 12 mm s6, grows: @)\n"),
    );
}
