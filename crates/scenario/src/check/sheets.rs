//! Sheets of readings: plausible numbers, and answers that the sheet bears out.

use super::{Checker, options};
use crate::{
    feedback::sheet::median,
    format::{Column, Row, SheetAsk},
};
use jarlight_model::{
    authored::Spot,
    diag::{Code, Level},
};

pub(super) fn check(c: &mut Checker<'_>, sheet: &Spot<Vec<Row>>, ask: &Spot<SheetAsk>) {
    let rows = &sheet.value;
    if rows.len() < 2 {
        let what = format!("a sheet needs at least two cells, met {}", rows.len());
        c.error(Code::TooFewOptions, &sheet.at, what);
    }
    for (i, row) in rows.iter().enumerate() {
        if rows[..i].iter().any(|r| r.cell.value == row.cell.value) {
            let what = format!("cell {} stands twice on the sheet", row.cell.value);
            c.error(Code::RepeatedId, &row.cell.at, what);
        }
        for column in Column::ALL {
            if let Some(reading) = row.get(column) {
                plausible(c, column, reading);
            }
        }
    }
    match &ask.value {
        SheetAsk::Correct { cell, within } => {
            if within.value <= 0.0 || within.value > 0.01 {
                let what = format!("within must be over 0 and at most 0.01, met {}", within.value);
                c.error(Code::OutOfRange, &within.at, what);
            }
            if let Some(row) = on_sheet(c, rows, cell)
                && (row.gravity.is_none() || row.celsius.is_none())
            {
                let what = format!("cell {} needs gravity and celsius", cell.value);
                c.error(Code::MissingField, &row.cell.at, what);
            }
        }
        SheetAsk::Outlier { column, right } => outlier(c, rows, column, right, ask),
        SheetAsk::Decide { options, right } => options::texts(c, &ask.at, options, right),
    }
}

fn plausible(c: &mut Checker<'_>, column: Column, reading: &Spot<f64>) {
    let (what, low, high) = match column {
        Column::Volts => ("a voltage of one cell", 0.0, 3.0),
        Column::Gravity => ("a specific gravity", 1.0, 1.35),
        Column::Celsius => ("a temperature in °C", -30.0, 60.0),
    };
    if !(low..=high).contains(&reading.value) {
        let what = format!("{what} must be from {low} to {high}, met {}", reading.value);
        c.error(Code::OutOfRange, &reading.at, what);
    }
}

fn on_sheet<'r>(c: &mut Checker<'_>, rows: &'r [Row], cell: &Spot<u32>) -> Option<&'r Row> {
    let row = rows.iter().find(|r| r.cell.value == cell.value);
    if row.is_none() {
        let what = format!("cell {} is not on the sheet", cell.value);
        c.error(Code::KeyNotOption, &cell.at, what);
    }
    row
}

/// The cells called outliers must lie further from the middle than all others.
fn outlier(
    c: &mut Checker<'_>,
    rows: &[Row],
    column: &Spot<Column>,
    right: &[Spot<u32>],
    ask: &Spot<SheetAsk>,
) {
    if right.is_empty() {
        c.error(Code::Empty, &ask.at, "no cell stands out");
        return;
    }
    let numbers: Vec<Spot<u32>> = rows.iter().map(|r| r.cell.clone()).collect();
    if numbers.len() > 9 {
        options::list(c, &ask.at, &numbers);
    }
    for cell in right {
        on_sheet(c, rows, cell);
    }
    let middle = median(rows, column.value);
    let off = |row: &Row| row.get(column.value).map(|v| (v.value - middle).abs());
    let is_right = |row: &&Row| right.iter().any(|r| r.value == row.cell.value);
    let least = rows.iter().filter(is_right).filter_map(off).fold(f64::INFINITY, f64::min);
    let most = rows.iter().filter(|r| !is_right(r)).filter_map(off).fold(0.0, f64::max);
    if least <= most {
        let what = "another cell lies as far from the middle of the column";
        c.error(Code::RulesDisagree, &column.at, what).level = Level::Warning;
    }
}

#[cfg(test)]
mod tests {
    use crate::check::testing::found_with;

    fn sheet(rows: &str, ask: &str) -> Vec<String> {
        found_with(&format!("Readings(sheet: [{rows}], ask: {ask})"))
    }

    const ROWS: &str = "(cell: 1, gravity: 1.215, celsius: 25), \
        (cell: 2, gravity: 1.190, celsius: 30), (cell: 3, gravity: 1.214, celsius: 25)";

    #[test]
    fn a_sound_sheet_is_sound() {
        assert_eq!(sheet(ROWS, "Correct(cell: 2)"), Vec::<String>::new());
        assert_eq!(sheet(ROWS, "Outlier(column: Gravity, right: [2])"), Vec::<String>::new());
    }

    #[test]
    fn answers_must_be_on_the_sheet_and_borne_out_by_it() {
        assert_eq!(sheet(ROWS, "Correct(cell: 4)"), ["key-not-option 4"]);
        let bare = "(cell: 1, gravity: 1.2), (cell: 2, volts: 2.2)";
        assert_eq!(sheet(bare, "Correct(cell: 1)"), ["missing-field 1"]);
        let wrong = sheet(ROWS, "Outlier(column: Gravity, right: [3])");
        assert_eq!(wrong, ["rules-disagree Gravity"]);
        assert_eq!(sheet(ROWS, "Outlier(column: Gravity, right: [5])"), ["key-not-option 5"]);
        let none = "Outlier(column: Gravity, right: [])";
        assert_eq!(sheet(ROWS, none), [format!("empty {none}")]);
    }

    #[test]
    fn readings_must_be_plausible_and_cells_differ() {
        let far = "(cell: 1, gravity: 12.15, celsius: 25), (cell: 1, volts: 2.2)";
        let ask = "Decide(options: [\"a\", \"b\"], right: \"a\")";
        assert_eq!(sheet(far, ask), ["out-of-range 12.15", "repeated-id 1"]);
        assert_eq!(
            sheet(ROWS, "Decide(options: [\"a\", \"b\"], right: \"c\")"),
            ["key-not-option \"c\""]
        );
    }
}
