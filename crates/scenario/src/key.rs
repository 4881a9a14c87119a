//! What is right where the author leaves it to the scene, the catalogue and the rules.

use crate::{
    answer::{Age, Answer, Mark},
    format::{Began, Form, NORMAL, NOT_NORMAL, Scene, SheetAsk, Side},
    picture::Picture,
    places, reason,
    score::band_id,
};
use jarlight_model::{
    authored::Spot,
    catalogue::{Catalogue, ConditionKind},
    id::Slug,
    unit::Grade,
};
use jarlight_rules::reading::gravity::{Compensated, TemperatureRule, at_reference};

/// A question with all that decides what is right.
#[derive(Clone, Copy)]
pub(crate) struct Ask<'a> {
    pub catalogue: &'a Catalogue,
    pub form: &'a Form,
    pub scene: &'a Scene,
    pub picture: &'a Picture,
    pub second: Option<&'a Picture>,
}

/// Something on the cell that a mark can mean.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Wrong {
    pub condition: String,
    /// Where; anywhere on the parts of the condition when none.
    pub place: Option<String>,
}

impl Side {
    /// What an answer names.
    pub const fn id(self) -> &'static str {
        match self {
            Self::First => "first",
            Self::Second => "second",
            Self::Same => "same",
        }
    }
}

impl Ask<'_> {
    fn placed(&self, kind: ConditionKind) -> Vec<Wrong> {
        let all = self.picture.specimen.occurrences.iter();
        all.filter(|o| self.catalogue.condition(&o.condition).is_some_and(|c| c.kind == kind))
            .map(|o| Wrong { condition: o.condition.to_string(), place: o.place.clone() })
            .collect()
    }

    /// Everything that is wrong with the cell.
    pub fn wrong(&self) -> Vec<Wrong> {
        self.placed(ConditionKind::Condition)
    }

    /// Harmless look-alikes on the cell.
    pub fn harmless(&self) -> Vec<Wrong> {
        self.placed(ConditionKind::Harmless)
    }

    /// Whether nothing is wrong with the cell, look-alikes aside.
    pub fn is_normal(&self) -> bool {
        self.wrong().is_empty() && self.picture.hide.is_empty()
    }

    /// The grade of a condition in the picture.
    pub fn grade(&self, condition: &str) -> Grade {
        grade_in(self.picture, condition)
    }

    /// Which of two pictures is right.
    pub fn side(&self) -> Option<Side> {
        let Form::Compare { condition, right, .. } = self.form else { return None };
        match condition {
            None => right.as_ref().map(|r| r.value),
            Some(condition) => {
                let (a, b) = (self.grade(condition), grade_in(self.second?, condition));
                Some(match a.cmp(&b) {
                    std::cmp::Ordering::Greater => Side::First,
                    std::cmp::Ordering::Less => Side::Second,
                    std::cmp::Ordering::Equal => Side::Same,
                })
            }
        }
    }

    /// What each look would tell about the causes of what is shown, in bits.
    pub fn looks(&self, options: &[Spot<Slug>]) -> Vec<(String, f64)> {
        let bits = reason::looks(self.catalogue, self.scene, self.picture);
        let of = |id: &str| bits.iter().find(|(f, _)| f == id).map_or(0.0, |(_, b)| *b);
        options.iter().map(|o| (o.to_string(), of(o))).collect()
    }

    /// How much each option speaks for a cause, in decibans.
    pub fn weights(&self, cause: &str, options: &[Spot<Slug>]) -> Vec<(String, f64)> {
        let weights = reason::weights_for(self.catalogue, self.scene, self.picture, cause);
        let of = |id: &str| weights.iter().find(|(f, _)| f == id).map_or(0.0, |(_, w)| *w);
        options.iter().map(|o| (o.to_string(), of(o))).collect()
    }

    /// The gravity of the asked cell at 25 °C.
    pub fn corrected(&self) -> Option<f64> {
        let Form::Readings { sheet, ask } = self.form else { return None };
        let SheetAsk::Correct { cell, .. } = &ask.value else { return None };
        let row = sheet.value.iter().find(|r| r.cell.value == cell.value)?;
        let (gravity, celsius) = (row.gravity.as_ref()?, row.celsius.as_ref()?);
        let rule = TemperatureRule::NORTH_AMERICA;
        at_reference(gravity.value, celsius.value, rule, Compensated::NotYet).ok()
    }

    /// An answer that gets all points.
    pub fn right(&self) -> Option<Answer> {
        let one = |id: &str| Some(Answer::One(id.to_owned()));
        match self.form {
            Form::Point { part, number, .. } => {
                let n = number.as_ref().map_or(1, |n| n.value);
                let place = Some(format!("{}-{n}", part.value));
                Some(Answer::Point { place, near: Vec::new() })
            }
            Form::Name { target, .. } => one(places::split(target)?.0),
            Form::Choice { right, .. } => one(right),
            Form::Diagnose { condition, cause, began } => Some(Answer::Diagnosis {
                condition: condition.right.to_string(),
                cause: cause.right.to_string(),
                began: right_age(began),
            }),
            Form::Missing { right, .. } => one(right),
            Form::NormalOrNot => one(if self.is_normal() { NORMAL } else { NOT_NORMAL }),
            Form::Which { right, several: false, .. } => one(right.first()?),
            Form::Which { right, several: true, .. } => {
                Some(Answer::Several(right.iter().map(|r| r.to_string()).collect()))
            }
            Form::Age { truth, scale } => {
                let middle = middle(truth.value, scale.value.0);
                Some(Answer::Interval(middle, middle))
            }
            Form::NextLook { options, .. } => {
                let all = self.looks(options);
                one(&all.iter().max_by(|a, b| a.1.total_cmp(&b.1))?.0)
            }
            Form::Order { steps, .. } => {
                Some(Answer::Order(steps.iter().map(|s| s.value.clone()).collect()))
            }
            Form::Compare { .. } => one(self.side()?.id()),
            Form::MarkAll { .. } => Some(Answer::Marks(self.right_marks())),
            Form::Grade { condition } => one(&self.grade(condition).value().to_string()),
            Form::Evidence { cause, options } => {
                let all = self.weights(cause, options).into_iter();
                let speaks = all.filter(|(_, w)| *w > crate::score::NOTICEABLE);
                Some(Answer::Several(speaks.map(|(id, _)| id).collect()))
            }
            Form::Readings { ask, .. } => match &ask.value {
                SheetAsk::Correct { .. } => self.corrected().map(Answer::Number),
                SheetAsk::Outlier { right, .. } => {
                    Some(Answer::Several(right.iter().map(|r| r.value.to_string()).collect()))
                }
                SheetAsk::Decide { right, .. } => one(right),
            },
        }
    }

    fn right_marks(&self) -> Vec<Mark> {
        let mark = |w: Wrong| {
            let part = self.catalogue.condition(&w.condition).and_then(|c| c.parts.first());
            let place = match w.place {
                Some(place) if places::split(&place).is_some_and(|(_, n)| n.is_some()) => place,
                Some(part) => format!("{part}-1"),
                None => format!("{}-1", part.map_or("", |p| p.as_str())),
            };
            Mark { place: Some(place), near: Vec::new(), label: w.condition }
        };
        self.wrong().into_iter().map(mark).collect()
    }
}

/// The grade of a condition in a picture, 0 when it is not there.
pub(crate) fn grade_in(picture: &Picture, condition: &str) -> Grade {
    jarlight_model::unit::Severity::clamped(picture.specimen.severity(condition)).grade()
}

fn right_age(began: &Began) -> Age {
    match began {
        Began::Bands { right: Some(r), .. } => Age::Band(band_id(r.value)),
        Began::Interval { truth: Some(t), scale } => {
            let middle = middle(t.value, scale.value.0);
            Age::Months(middle, middle)
        }
        Began::Bands { right: None, .. } | Began::Interval { truth: None, .. } => {
            Age::Band(NORMAL.to_owned())
        }
    }
}

/// The middle of a span of months by ratio.
fn middle((from, to): (f64, f64), least: f64) -> f64 {
    libm::sqrt(from.max(least) * to.max(least))
}
