//! Change gears and thread dials against published trains and shop rules.

use setover::internals::language::Value;
use setover::internals::trade::change_gears::{Train, change_gears, gear_set};
use uom::si::f64::Length;
use uom::si::length::{inch, millimeter};

use crate::compared::{check, inputs, length, near, number};
use crate::evaluated::{quantity, value};
use crate::lengths::mm;
use crate::rows::rows;

fn tpi(count: f64) -> Length {
    Length::new::<inch>(1.0) / count
}

/// The gears of "(25*63)/(50*100)" or "66 and 36": all whole numbers in it.
fn gears(text: &str) -> Vec<u32> {
    text.split(|c: char| !c.is_ascii_digit())
        .filter(|digits| !digits.is_empty())
        .map(|digits| digits.parse().unwrap())
        .collect()
}

/// Whether a train has exactly these gears, in any order on each side.
fn has(train: &Train, drivers: &[u32], driven: &[u32]) -> bool {
    let sorted = |list: &[u32]| {
        let mut list = list.to_vec();
        list.sort_unstable();
        list
    };
    sorted(&train.drivers) == sorted(drivers) && sorted(&train.driven) == sorted(driven)
}

/// Every gear of the reference table is in its set as often as it is owned.
/// Source: common practice, no source. Both lists come from the same memory: no
/// independent proof, but a guard against slips of the pen.
#[test]
fn sets_in_common_use() {
    let table = rows(include_str!("../reference/change_gear_sets.csv"));
    for row in &table {
        let teeth: u32 = row["teeth"].parse().unwrap();
        let quantity: usize = row["quantity"].parse().unwrap();
        let set = gear_set(&row["set"]).unwrap();
        let owned = set.gears.iter().filter(|gear| **gear == teeth).count();
        assert_eq!(owned, quantity, "{row:?}");
        assert_eq!(set.leadscrew, row["lead_screw"]);
    }
    let listed: usize = table
        .iter()
        .map(|row| row["quantity"].parse::<usize>().unwrap())
        .sum();
    let held: usize = setover::internals::trade::change_gears::gear_set_names()
        .iter()
        .map(|name| gear_set(name).unwrap().gears.len())
        .sum();
    assert_eq!(held, listed);
    println!("checked {} sizes of change gears", table.len());
}

/// Source: each row names its own.
#[test]
fn worked_examples() {
    let table = rows(include_str!("../reference/worked_change_gears.csv"));
    for row in &table {
        let given = inputs(row);
        let screw = given.get("lead_screw").map(|text| length(text));
        match row["asked"].as_str() {
            "drivers/driven" => {
                let wanted = length(given.get("lead").or(given.get("cut")).unwrap());
                let pair = gears(&row["expected"]);
                let mut owned = vec![20, 25, 35, 45, 65];
                owned.extend(&pair);
                let found = change_gears(wanted, screw.unwrap(), &owned, 1, 0.0005).unwrap();
                let train = found
                    .iter()
                    .find(|train| has(train, &pair[..1], &pair[1..]));
                let train = train.unwrap_or_else(|| panic!("{row:?}: {found:?}"));
                assert_eq!(train.error, 0.0, "{row:?}");
            }
            "wheel on the lead screw" => {
                let owned = gear_set("by fives with 127").unwrap().gears;
                let driver = number(given["mandrel_wheel"]) as u32;
                let found =
                    change_gears(length(given["cut"]), screw.unwrap(), &owned, 1, 0.0).unwrap();
                let train = found.iter().find(|train| train.drivers == [driver]);
                let train = train.unwrap_or_else(|| panic!("{row:?}: {found:?}"));
                check(row, f64::from(train.driven[0]));
            }
            "threads per inch cut" => {
                let (drivers, driven) = (gears(given["drivers"]), gears(given["driven"]));
                let owned = [drivers.as_slice(), driven.as_slice()].concat();
                let wanted = tpi(number(&row["expected"]));
                let found = change_gears(wanted, screw.unwrap(), &owned, 2, 0.01).unwrap();
                let train = found.iter().find(|train| has(train, &drivers, &driven));
                let train = train.unwrap_or_else(|| panic!("{row:?}: {found:?}"));
                check(row, 25.4 / train.pitch.get::<millimeter>());
            }
            asked if asked.starts_with("pitch cut") => {
                let train_given = given.get("ratio").or(given.get("train")).unwrap();
                let (drivers, driven) = train_given.split_once('/').unwrap();
                let (drivers, driven) = (gears(drivers), gears(driven));
                let owned = [drivers.as_slice(), driven.as_slice()].concat();
                let wanted = match asked {
                    "pitch cut with the 63 wheel, wanted 1 mm" => mm(1.0),
                    _ => mm(number(&row["expected"])),
                };
                let found = change_gears(wanted, screw.unwrap(), &owned, 2, 0.001).unwrap();
                let train = found.iter().find(|train| has(train, &drivers, &driven));
                let train = train.unwrap_or_else(|| panic!("{row:?}: {found:?}"));
                check(row, train.pitch.get::<millimeter>());
            }
            "relative error of the 63-tooth approximation" => {
                let screw = mm(127.0);
                let found = change_gears(mm(40.0), screw, &[63, 200], 1, 0.001).unwrap();
                check(row, found[0].error * 100.0);
                near(found[0].error_over_100_mm.get::<millimeter>(), 0.0125, 5e-5);
            }
            other => panic!("asked for {other}"),
        }
    }
    println!("checked {} worked examples of change gears", table.len());
}

/// Source: the rule of handbooks for metric pitches on an inch leadscrew, pitch
/// in mm x threads per inch of the leadscrew x 5 / 127 (Machinery's Handbook,
/// from memory), and its counterpart for inch pitches on a metric one.
#[test]
fn metric_threads_with_the_127_gear() {
    let owned = gear_set("by fives with 127").unwrap().gears;
    for (pitch, screw, drivers) in [
        (1.5, 8.0, 60),
        (2.0, 6.0, 60),
        (3.0, 8.0, 120),
        (1.0, 8.0, 40),
    ] {
        let found = change_gears(mm(pitch), tpi(screw), &owned, 2, 0.0005).unwrap();
        assert!(
            has(&found[0], &[drivers], &[127]),
            "{pitch}: {:?}",
            found[0]
        );
        assert_eq!(found[0].error, 0.0);
        assert_eq!(found[0].pitch, mm(pitch));
    }
    let owned = gear_set("metric lathe, inch translation").unwrap().gears;
    let found = change_gears(tpi(20.0), mm(6.0), &owned, 2, 0.0001).unwrap();
    let exact = found.iter().filter(|train| train.error == 0.0);
    assert!(exact.clone().count() > 0);
    for train in exact {
        assert!(train.drivers.contains(&127), "{train:?}");
    }
}

/// Trains of one pair come before those of two, each by rising error, and none
/// twice. Source: own derivation, what the documentation of the function promises.
#[test]
fn order_and_no_doubles() {
    let owned = gear_set("by fives with 21 and 63").unwrap().gears;
    let found = change_gears(mm(1.25), tpi(8.0), &owned, 3, 0.002).unwrap();
    assert!(found.len() > 20, "{}", found.len());
    for pair in found.windows(2) {
        let key = |train: &Train| (train.drivers.len(), train.error.abs());
        assert!(key(&pair[0]) <= key(&pair[1]), "{pair:?}");
    }
    for (index, train) in found.iter().enumerate() {
        let again = found[index + 1..]
            .iter()
            .any(|other| has(other, &train.drivers, &train.driven));
        assert!(!again, "{train:?} comes twice");
        for gear in train.drivers.iter().chain(&train.driven) {
            let all = train.drivers.iter().chain(&train.driven);
            let used = all.filter(|other| *other == gear).count();
            let owned = owned.iter().filter(|other| *other == gear).count();
            assert!(used <= owned, "{train:?}");
        }
    }
}

/// Source: common practice, the rule on the lathe with four threads to the inch
/// and a dial of eight marks, half an inch apart (four of them numbered): even
/// threads at any mark, odd ones at any numbered mark, halves at every other
/// number, quarters at the same mark.
#[test]
fn thread_dial_rules() {
    for (threads, marks, anywhere) in [
        (8.0, &[1_u8, 2, 3, 4, 5, 6, 7, 8][..], true),
        (12.0, &[1, 2, 3, 4, 5, 6, 7, 8][..], true),
        (10.0, &[1, 2, 3, 4, 5, 6, 7, 8][..], false),
        (18.0, &[1, 2, 3, 4, 5, 6, 7, 8][..], false),
        (9.0, &[1, 3, 5, 7][..], false),
        (27.0, &[1, 3, 5, 7][..], false),
        (11.5, &[1, 5][..], false),
        (4.75, &[1][..], false),
    ] {
        let dial = format!("thread_dial(1 in / {threads}, 1 in / 4, 16, 8)");
        let found = value(&format!("{dial}.marks")).unwrap();
        let Value::List(found) = found else {
            panic!("{dial}: {found:?}");
        };
        let found: Vec<f64> = found.iter().map(|m| m.quantity().unwrap().si).collect();
        let marks: Vec<f64> = marks.iter().map(|mark| f64::from(*mark)).collect();
        assert_eq!(found, marks, "{threads} tpi");
        let told = |field: &str| value(&format!("{dial}.{field}")).unwrap() == Value::Truth(true);
        assert_eq!(told("anywhere"), anywhere, "{threads} tpi");
        assert!(!told("keep_closed"));
    }
    // A metric thread on an inch leadscrew: keep the half nuts closed.
    let dial = "thread_dial(1.5 mm, 1 in / 8, 16, 8)";
    assert_eq!(
        value(&format!("{dial}.keep_closed")),
        Ok(Value::Truth(true))
    );
    near(quantity(&format!("count({dial}.marks)")).si, 0.0, 0.0);
    let wrong = value("thread_dial(0.0001 mm, 1 in / 8, 16, 8)").unwrap_err();
    assert!(wrong.contains("lengths for one turn"), "{wrong}");
}

#[test]
fn bad_input_is_refused_by_argument() {
    let owned = [20, 30, 40, 60];
    for gears in [
        &[][..],
        &[20][..],
        &[20, 0][..],
        &[20, u32::MAX][..],
        &[20; 65][..],
    ] {
        let fault = change_gears(mm(1.0), mm(3.0), gears, 2, 0.001).unwrap_err();
        assert_eq!(fault.argument, Some(2), "{fault}");
    }
    // Sets that left the library say what to write instead.
    for (old, gears) in [
        ("small metric bench lathe", "[20, 20, 30, 35, 40, 40, 45,"),
        (
            "By fives, two of the smallest",
            "[20, 20, 25, 30, 35, 38, 40,",
        ),
    ] {
        let fault = gear_set(old).unwrap_err();
        let advice = fault.advice.as_deref().unwrap_or_default();
        assert!(advice.contains(gears), "{fault}: {advice}");
    }
    // A pitch that no train reaches: the nearest is named.
    let fault = change_gears(mm(1.03), mm(3.0), &owned, 2, 0.0).unwrap_err();
    assert!(
        fault.to_string().contains("nearest is (20) / (60)"),
        "{fault}"
    );
    let fault = change_gears(mm(1000.0), mm(0.001), &owned, 2, 0.0).unwrap_err();
    assert!(fault.message.contains("out of reach"), "{fault}");
}
