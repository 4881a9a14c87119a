//! Feedback on sheets of readings.

use super::{Feedback, Scored, joined};
use crate::{
    answer::Answer,
    format::{Column, Row},
    options,
};
use jarlight_model::{authored::Spot, text::tr_with, unit::trimmed};

impl Scored<'_> {
    /// A gravity brought to 25 °C.
    pub(super) fn corrected(&self, sheet: &[Row], cell: u32, out: &mut Feedback) -> String {
        let Some(key) = self.ask.corrected() else { return String::new() };
        let result = format!("{key:.4}");
        out.right = vec![result.clone()];
        let why = sheet.iter().find(|row| row.cell.value == cell).and_then(|row| {
            let off = row.celsius.as_ref()?.value - 25.0;
            let sign = if off < 0.0 { "\u{2212}" } else { "+" };
            let (reading, degrees) =
                (options::reading_text(row, Column::Gravity), trimmed(off.abs(), 1));
            let told = [
                ("reading", reading.as_str()),
                ("sign", sign),
                ("degrees", &degrees),
                ("result", &result),
            ];
            Some(tr_with("feedback-corrected", &told))
        });
        let why = why.unwrap_or_default();
        let Answer::Number(said) = self.answer else { return why };
        out.given = format!("{said:.4}");
        if self.shares.first().is_none_or(|share| *share < 1.0) {
            self.tempt(&out.given.clone(), out.given.clone(), Some(why.clone()), out);
        }
        why
    }

    /// Cells that stand out.
    pub(super) fn outlying(
        &self,
        sheet: &[Row],
        column: Column,
        right: &[Spot<u32>],
        out: &mut Feedback,
    ) -> String {
        out.right = right.iter().map(|n| options::cell_text(&n.value.to_string())).collect();
        let Answer::Several(said) = self.answer else { return String::new() };
        out.given = joined(&said.iter().map(|n| options::cell_text(n)).collect::<Vec<_>>());
        for row in sheet {
            let n = row.cell.value.to_string();
            let is_right = right.iter().any(|r| r.value == row.cell.value);
            if said.contains(&n) == is_right {
                continue;
            }
            let value = options::reading_text(row, column);
            let key = if is_right { "feedback-outlier-missed" } else { "feedback-outlier" };
            let tell = tr_with(key, &[("n", &n), ("value", &value)]);
            self.tempt(&n, options::cell_text(&n), Some(tell), out);
        }
        let middle = median(sheet, column);
        let middle = format!("{middle:.*}", column.decimals());
        let taught = self.taught();
        format!("{} {taught}", tr_with("feedback-median", &[("median", &middle)])).trim().to_owned()
    }
}

/// The middle of a column; 0 when it is empty.
pub(crate) fn median(sheet: &[Row], column: Column) -> f64 {
    let mut all: Vec<f64> = sheet.iter().filter_map(|r| r.get(column)).map(|v| v.value).collect();
    all.sort_by(f64::total_cmp);
    let n = all.len();
    match n {
        0 => 0.0,
        n if n % 2 == 1 => all[n / 2],
        n => (all[n / 2 - 1] + all[n / 2]) / 2.0,
    }
}
