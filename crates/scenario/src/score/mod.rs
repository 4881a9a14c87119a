//! How much of a question an answer gets, from 0 to 1; pure.

mod age;
mod choice;
mod marks;
mod order;
mod point;

pub use age::interval;
pub(crate) use choice::NOTICEABLE;
pub use choice::{same_family, several};
pub use marks::Marked;
pub use order::order;

use crate::{
    answer::Answer,
    format::{Form, NONE, SheetAsk},
    key::Ask,
    places,
};
use jarlight_model::unit::trimmed;

/// What a part of an answer got, from 0 to 1; one entry for each question in the question.
pub type Shares = Vec<f64>;

/// Bits of a look within this share of the best count as the best.
const AS_GOOD: f64 = 0.95;

/// The id of a band of months.
pub fn band_id(band: (f64, f64)) -> String {
    format!("{}-{}", trimmed(band.0, 2), trimmed(band.1, 2))
}

/// The whole of several shares: their mean.
pub fn total(shares: &[f64]) -> f64 {
    if shares.is_empty() {
        return 0.0;
    }
    shares.iter().sum::<f64>() / shares.len() as f64
}

/// True when an answer chooses what nobody should do, or breaks an order kept for safety.
pub fn is_harmful(form: &Form, answer: &Answer) -> bool {
    match (form, answer) {
        (Form::NextLook { harmful, .. }, Answer::One(id)) => harmful.iter().any(|h| h.value == *id),
        (Form::Order { steps, safety, .. }, Answer::Order(ids)) => {
            let texts: Vec<&str> = steps.iter().map(|s| s.value.as_str()).collect();
            order::broken(&texts, safety, ids).next().is_some()
        }
        _ => false,
    }
}

/// Scores an answer; `None` when it is not an answer to this form.
pub(crate) fn score(ask: &Ask<'_>, answer: &Answer) -> Option<Shares> {
    if is_harmful(ask.form, answer) {
        return Some(vec![0.0]);
    }
    let one = |share: f64| Some(vec![share]);
    match (ask.form, answer) {
        (Form::Point { part, number, also }, Answer::Point { place, near }) => {
            let named = match number {
                Some(n) => format!("{}-{}", part.value, n.value),
                None => part.to_string(),
            };
            let right = |place: &str| {
                places::means(&named, place) || also.iter().any(|p| places::means(p, place))
            };
            one(point::point(ask.catalogue, part, place.as_deref(), near, right))
        }
        (Form::Name { target, options, near }, Answer::One(id)) => {
            let (part, _) = places::split(target)?;
            one(choice::slug(options, part, near, id, |_| false)?)
        }
        (Form::Choice { options, right, .. }, Answer::One(id)) => {
            one(choice::text(options, right, id)?)
        }
        (
            Form::Diagnose { condition, cause, began },
            Answer::Diagnosis { condition: said, cause: said_cause, began: said_age },
        ) => {
            let family = |id: &str| same_family(ask.catalogue, &condition.right, id);
            Some(vec![
                choice::slug(&condition.options, &condition.right, &condition.near, said, family)?,
                choice::slug(&cause.options, &cause.right, &cause.near, said_cause, |_| false)?,
                age::began(began, said_age)?,
            ])
        }
        (Form::Missing { options, right }, Answer::One(id)) if id == NONE => {
            (!options.is_empty()).then(|| vec![share(right.as_str() == NONE)])
        }
        (Form::Missing { options, right }, Answer::One(id)) => {
            one(choice::slug(options, right, &[], id, |_| false)?)
        }
        (Form::NormalOrNot, Answer::One(id)) => one(choice::normal(ask.is_normal(), id)?),
        (Form::Which { options, right, several: false, near }, Answer::One(id)) => {
            let key = right.first()?;
            let family = |id: &str| same_family(ask.catalogue, key, id);
            one(choice::slug(options, key, near, id, family)?)
        }
        (Form::Which { options, right, several: true, .. }, Answer::Several(ids)) => {
            one(several(options, |o| right.iter().any(|r| r.value == o.value), ids)?)
        }
        (Form::Age { truth, scale }, Answer::Interval(from, to)) => {
            one(interval(truth.value, (*from, *to), scale.value)?)
        }
        (Form::NextLook { options, .. }, Answer::One(id)) => {
            let bits = ask.looks(options);
            let (_, mine) = bits.iter().find(|(option, _)| option == id)?;
            let best = bits.iter().map(|(_, b)| *b).fold(0.0, f64::max);
            one(if best <= 0.0 {
                0.0
            } else if mine / best >= AS_GOOD {
                1.0
            } else {
                mine / best
            })
        }
        (Form::Order { steps, before, .. }, Answer::Order(ids)) => {
            let texts: Vec<&str> = steps.iter().map(|s| s.value.as_str()).collect();
            one(order(&texts, before, ids)?)
        }
        (Form::Compare { .. }, Answer::One(id)) => one(choice::side(ask.side()?, id)?),
        (Form::MarkAll { .. }, Answer::Marks(marks)) => one(marks::judge(ask, marks).share),
        (Form::Grade { condition }, Answer::One(id)) => {
            one(choice::grade(ask.grade(condition), id)?)
        }
        (Form::Evidence { cause, options }, Answer::Several(ids)) => {
            one(choice::evidence(&ask.weights(cause, options), ids)?)
        }
        (Form::Readings { sheet, ask: asked }, answer) => match (&asked.value, answer) {
            (SheetAsk::Correct { within, .. }, Answer::Number(said)) => {
                let key = ask.corrected()?;
                one(choice::number(key, *said, within.value)?)
            }
            (SheetAsk::Outlier { right, .. }, Answer::Several(ids)) => {
                let cells: Vec<_> = sheet.value.iter().map(|row| row.cell.clone()).collect();
                one(several(&cells, |c| right.iter().any(|r| r.value == c.value), ids)?)
            }
            (SheetAsk::Decide { options, right }, Answer::One(id)) => {
                one(choice::text(options, right, id)?)
            }
            _ => None,
        },
        _ => None,
    }
}

/// The judgement of the marks of an answer, for its feedback.
pub(crate) fn judge(ask: &Ask<'_>, marks: &[crate::answer::Mark]) -> Marked {
    marks::judge(ask, marks)
}

/// The pairs of steps whose order an answer breaks, by index of the author's order.
pub(crate) fn broken_pairs(
    steps: &[&str],
    pairs: &[jarlight_model::authored::Spot<(u32, u32)>],
    said: &[String],
) -> Vec<(usize, usize)> {
    order::broken(steps, pairs, said).collect()
}

fn share(right: bool) -> f64 {
    f64::from(u8::from(right))
}
