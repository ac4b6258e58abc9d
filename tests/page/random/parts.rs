//! The kinds of picture, one test each.

use super::{Part, all, extreme, figure, with_each};
use crate::markup::{Picture, near};

#[test]
fn holes() {
    all("holes", |chance, index| {
        let count = if index % 50 == 7 {
            200
        } else {
            chance.count(1, 16)
        };
        let mut text = format!("table t{index}\n| x | y | size |\n");
        let mut labels = Vec::new();
        let mut places = Vec::new();
        for _ in 0..count {
            let (x, y) = (
                chance.size(-90.0, 200.0, 0.5),
                chance.size(-60.0, 120.0, 0.25),
            );
            let size = chance.size(2.0, 12.0, 0.5);
            text += &format!("| {x} mm | {y} mm | {size} mm |\n");
            labels.extend([figure(x), figure(y), figure(size)]);
            places.push((x, y, size));
        }
        text += &format!("draw holes of t{index}\n");
        Part {
            text,
            labels,
            lines: Box::new(move |picture: &Picture, scale| {
                let drawn = picture.circles("hole");
                assert_eq!(drawn.len(), places.len());
                for ((x, y, size), found) in places.iter().zip(drawn) {
                    near(found.0, x * scale);
                    near(found.1, -y * scale);
                    near(found.2, size / 2.0 * scale);
                }
            }),
        }
    });
    let mut odd = with_each(
        "table t\n| x | y | size |\n| @ | 3 mm | 2 mm |\n| 0 mm | 0 mm | 2 mm |\ndraw holes of t with chords\n",
    );
    odd.extend(with_each(
        "table t\n| x | y | size |\n| 3 mm | 1 mm | @ |\n| 3 mm | 1 mm | 2 mm |\ndraw holes of t\n",
    ));
    extreme("holes", &odd);
}

#[test]
fn lever() {
    all("lever", |chance, _| {
        let small = chance.size(4.0, 40.0, 0.5);
        let big = small + chance.size(0.0, 40.0, 0.5);
        let centres = (big - small) / 2.0 + chance.size(1.0, 300.0, 0.25);
        let cutter = chance.size(3.0, 20.0, 0.5);
        let bore = chance.size(1.0, small - 1.0, 0.5);
        let text = format!(
            "draw lever(big: {big} mm, small: {small} mm, centres: {centres} mm ±0.05, cutter: {cutter} mm, small_bore: {bore} mm H7)\n"
        );
        let labels = vec![
            format!("R{}", figure(big / 2.0)),
            format!("R{}", figure(small / 2.0)),
            format!("{} ±0.05", figure(centres)),
            format!("⌀{} H7", figure(bore)),
            format!("⌀{} cutter", figure(cutter)),
        ];
        Part {
            text,
            labels,
            lines: Box::new(move |picture: &Picture, scale| {
                near(picture.circles("cutter")[0].2, cutter / 2.0 * scale);
                let bores = picture.circles("bore");
                near(bores[0].0, centres * scale);
                near(bores[0].2, bore / 2.0 * scale);
            }),
        }
    });
    extreme(
        "lever",
        &with_each("draw lever(big: @, small: 3 mm, centres: 40 mm, cutter: 5 mm)\n"),
    );
    extreme(
        "lever",
        &with_each("draw lever(big: 3 mm, small: 3 mm, centres: @, cutter: @)\n"),
    );
}

#[test]
fn turned_profile() {
    all("turned profile", |chance, index| {
        let mut text =
            format!("table t{index}\n| diameter | length | chamfer | bore | end_diameter |\n");
        let mut labels = Vec::new();
        let (mut whole, mut first) = (0.0, 0.0);
        for step in 0..chance.count(1, 9) {
            let diameter = chance.size(6.0, 80.0, 0.5);
            let length = chance.size(2.0, 90.0, 0.25);
            let end = if chance.odds() {
                diameter
            } else {
                diameter - 0.5
            };
            text += &format!("| {diameter} mm | {length} mm | 0.5 mm | 2 mm | {end} mm |\n");
            labels.extend([
                format!("⌀{}", figure(diameter)),
                format!("⌀{}", figure(end)),
                figure(length),
            ]);
            whole += length;
            if step == 0 {
                first = diameter;
            }
        }
        labels.push(figure(whole));
        text += &format!("draw turned profile of t{index}\n");
        Part {
            text,
            labels,
            lines: Box::new(move |picture: &Picture, scale| {
                let points = picture.points("profile");
                near(points.last().unwrap().0, whole * scale);
                near(points[1].1, -(first / 2.0 - 0.5) * scale);
            }),
        }
    });
    let mut odd = with_each(
        "table t\n| diameter | length |\n| @ | 3 mm |\n| 9 mm | 4 mm |\ndraw turned profile of t\n",
    );
    odd.extend(with_each("table t\n| diameter | length | bore |\n| 5 mm | @ | 2 mm |\n| 9 mm | 4 mm | 2 mm |\ndraw turned profile of t with stations, half view\n"));
    extreme("turned profile", &odd);
}

#[test]
fn taper() {
    all("taper", |chance, _| {
        let small = chance.size(3.0, 60.0, 0.5);
        let big = small + chance.size(0.5, 30.0, 0.5);
        let (length, travel) = (chance.size(5.0, 200.0, 0.5), chance.size(5.0, 100.0, 0.5));
        let slide = if chance.odds() {
            "top slide"
        } else {
            "carriage"
        };
        let text =
            format!("draw taper({big} mm, {small} mm, {length} mm, {travel} mm, \"{slide}\")\n");
        let labels = vec![
            format!("⌀{}", figure(big)),
            format!("⌀{}", figure(small)),
            figure(length),
            figure(travel),
            "°".to_owned(),
        ];
        Part {
            text,
            labels,
            lines: Box::new(move |picture: &Picture, scale| {
                let points = picture.points("taper");
                near(points[1].0 - points[0].0, length * scale);
                near(points[3].1 - points[0].1, big * scale);
                near(points[2].1 - points[1].1, small * scale);
            }),
        }
    });
    extreme("taper", &with_each("draw taper(@, 3 mm, 40 mm, 5 mm)\n"));
    extreme(
        "taper",
        &with_each("draw taper(4 mm, 3 mm, @, @, \"top slide\")\n"),
    );
}

#[test]
fn rotary_table() {
    all("rotary table", |chance, index| {
        let radius = chance.size(5.0, 90.0, 0.5);
        let cutter = chance.size(2.0, 20.0, 0.5);
        // Neighbouring angles, whole turns less a little, and any.
        let from = chance.size(-180.0, 180.0, 1.0);
        let turn = match index % 4 {
            0 => chance.size(1.0, 5.0, 1.0),
            1 => chance.size(170.0, 179.0, 1.0),
            _ => chance.size(6.0, 170.0, 1.0),
        };
        let (from, to) = if chance.odds() {
            (from, from + turn)
        } else {
            (from + turn, from)
        };
        let text = format!(
            "draw rotary table(radius: {radius} mm, cutter: {cutter} mm, from: {from} deg, to: {to} deg)\n"
        );
        let labels = vec![
            format!("R{}", figure(radius)),
            format!("⌀{} cutter", figure(cutter)),
            format!("{}°", figure(from)),
            format!("{}°", figure(to)),
            format!("{}°", figure(turn)),
            figure(radius + cutter / 2.0),
        ];
        Part {
            text,
            labels,
            lines: Box::new(move |picture: &Picture, scale| {
                let found = picture.circles("cutter")[0];
                let offset = (radius + cutter / 2.0) * scale;
                near(found.0, offset * from.to_radians().cos());
                near(found.1, -offset * from.to_radians().sin());
                near(found.2, cutter / 2.0 * scale);
            }),
        }
    });
    extreme(
        "rotary table",
        &with_each("draw rotary table(@, 12 mm, 0 deg, 90 deg)\n"),
    );
    extreme(
        "rotary table",
        &with_each("draw rotary table(20 mm, @, 46 deg, 45 deg)\n"),
    );
}

#[test]
fn fit() {
    all("fit", |chance, _| {
        let size = chance.size(3.0, 200.0, 1.0);
        let (low, tolerance) = (
            chance.size(-0.05, 0.05, 0.001),
            chance.size(0.002, 0.05, 0.001),
        );
        let high = low + tolerance;
        let text = format!(
            "draw fit(hole: {size} mm (+0.021/0), shaft: {size} mm ({high:+.3}/{low:+.3}))\n"
        );
        Part {
            text,
            labels: vec![
                "+0.021".to_owned(),
                figure(size + low),
                figure(size + high),
                figure(size + 0.021),
            ],
            lines: Box::new(|_, _| {}),
        }
    });
    extreme(
        "fit",
        &with_each("a = @\ndraw fit(hole: a H7, shaft: a g6)\n")
            .iter()
            .cloned()
            .chain(with_each(
                "draw fit(hole: 12 mm (0.02 mm/0), shaft: 12 mm (@/0))\n",
            ))
            .collect::<Vec<_>>(),
    );
}

#[test]
fn graph() {
    all("graph", |chance, index| {
        let last = f64::from(chance.count(2, 40));
        // No value where the root has none.
        let gap = chance.size(0.0, last, 1.0) + 0.5;
        let text = format!(
            "x{index} = 1 mm\ny{index} = if abs(x{index} - {gap} mm) < 0.6 mm then sqrt(-1) else x{index} / (1 mm) + {gap}\n\
             draw graph of y{index} over x{index} from 0 mm to {last} mm by 1 mm\n"
        );
        Part {
            text,
            labels: vec![
                format!("x{index} in mm"),
                format!("y{index}"),
                "0".to_owned(),
            ],
            lines: Box::new(|_, _| {}),
        }
    });
    extreme(
        "graph",
        &with_each("x = 1 mm\ny = x / (3 mm)\ndraw graph of y over x from 0 mm to @ by @\n")
            .iter()
            .cloned()
            .chain(with_each(
                "x = 1\ny = x * @\ndraw graph of y over x from 0 to 3 by 1\n",
            ))
            .collect::<Vec<_>>(),
    );
}
