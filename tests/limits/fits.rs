//! The fit of two names with limits.

use setover::internals::sheet::RowKind;

use crate::shelf::{open, open_with, row};

/// Source: ISO 286-1:2010, H7 on 12 mm is +0.018/0, g6 is -0.006/-0.017 (from memory;
/// tests/published holds the tables); the clearances are their differences.
#[test]
fn two_toleranced_names_have_a_fit() {
    let sizes = "bore = 12 mm H7\npin = 12 mm g6\nother = 12 mm (+0.018/0)\nsame = bore\nplain = 12.003 mm\nfree = bore + 0 mm\n";
    let fit = |call: &str| {
        let text = format!(
            "{sizes}f = fit_between({call})\nk = f.kind\ng = f.greatest_clearance\nl = f.least_clearance"
        );
        let workspace = open(&text);
        ["k", "g", "l"].map(|name| row(&workspace, RowKind::Cell, name).text)
    };
    let clearance = ["clearance", "0.035 mm", "0.006 mm"].map(str::to_owned);
    assert_eq!(fit("bore, pin"), clearance);
    assert_eq!(fit("other, pin"), clearance);
    assert_eq!(fit("same, pin"), clearance);
    assert_eq!(fit("shaft: pin, hole: bore"), clearance);
    assert_eq!(fit("12 mm H7, pin"), clearance);
    assert_eq!(fit("limits(12 mm, \"H7\"), pin"), clearance);
    // What is worked out from limits, or plain, counts as the size it is: the middle of
    // H7 is 12.009, less 11.983 and 11.994.
    assert_eq!(
        fit("plain, pin"),
        ["clearance", "0.020 mm", "0.009 mm"].map(str::to_owned)
    );
    assert_eq!(
        fit("free, pin"),
        ["clearance", "0.026 mm", "0.015 mm"].map(str::to_owned)
    );
}

#[test]
fn a_reading_takes_part_in_the_fit() {
    let others = [("shaft.job", "journal = 12 mm g6")];
    let text = "use shaft\nbore = 12 mm H7\nmeasured bore = 12.011 mm\nf = fit_between(bore, shaft.journal).greatest_clearance";
    // 12.011 less 11.983.
    let found = row(&open_with(text, &others), RowKind::Cell, "f");
    assert_eq!(
        (found.text.as_str(), found.limits.as_str()),
        ("0.028 mm", "")
    );
}
