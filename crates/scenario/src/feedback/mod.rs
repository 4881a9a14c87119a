//! What is said after an answer: what is right, why, why the other was tempting, what follows.

mod condition;
mod part;
mod reasoning;
pub(crate) mod sheet;
mod text;

use crate::{
    answer::Answer,
    format::{Form, NORMAL, NOT_NORMAL, Question, SheetAsk},
    key::Ask,
    picture::Picture,
    reason, score,
};
use jarlight_model::{
    id::Slug,
    text::{tr, tr_with},
};

/// How good an answer was.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// All points.
    Right,
    /// Some points.
    Partly,
    /// No point.
    Wrong,
}

/// Why an option that was chosen is wrong.
#[derive(Clone, Debug, PartialEq)]
pub struct Tempting {
    /// The chosen option.
    pub id: String,
    /// Its name.
    pub name: String,
    /// What tells it from the right one.
    pub tell: String,
}

/// A cause that the rules find, with its age.
#[derive(Clone, Debug, PartialEq)]
pub struct CauseLine {
    /// Id of the cause.
    pub id: String,
    /// Its name.
    pub name: String,
    /// The same in everyday words.
    pub plain: String,
    /// Its probability in percent.
    pub percent: f64,
    /// The probability in words.
    pub words: String,
    /// When it began, if it is there.
    pub began: Option<BeganLine>,
}

/// When a cause began, in months ago.
#[derive(Clone, Debug, PartialEq)]
pub struct BeganLine {
    /// With 10 % it began later than this.
    pub p10: f64,
    /// The middle.
    pub median: f64,
    /// With 90 % it began later than this.
    pub p90: f64,
    /// "began between … and … ago".
    pub text: String,
}

/// All that is said after an answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Feedback {
    /// How good the answer was.
    pub verdict: Verdict,
    /// Points given.
    pub points: f64,
    /// Points that were possible.
    pub max_points: f64,
    /// The answer in words.
    pub given: String,
    /// The right answer in words, one entry for each question in the question.
    pub right: Vec<String>,
    /// Places to ring as right; a part without a number means all of its kind.
    pub right_places: Vec<String>,
    /// Places that the learner chose.
    pub chosen_places: Vec<String>,
    /// Why the right answer is right.
    pub why: String,
    /// Whether that is the author's own text.
    pub why_by_author: bool,
    /// Why each wrong choice is wrong.
    pub tempting: Vec<Tempting>,
    /// Two parts or two conditions to be shown side by side: the right one, the chosen one.
    pub compare: Option<(Slug, Slug)>,
    /// The same cell with nothing on it, where something is on it.
    pub twin: Option<Picture>,
    /// What the rules make of it.
    pub causes: Vec<CauseLine>,
    /// What to look at or to ask for next.
    pub next: Vec<String>,
    /// What could hurt someone.
    pub caution: Vec<String>,
    /// Whether the answer would have hurt someone or harmed the cell.
    pub critical: bool,
    /// Ids of what the question teaches, for links.
    pub about: Vec<Slug>,
}

/// A scored question with all that its feedback is made from.
pub(crate) struct Scored<'a> {
    pub ask: Ask<'a>,
    pub question: &'a Question,
    pub answer: &'a Answer,
    pub shares: &'a [f64],
}

/// Makes the feedback of a scored question.
pub(crate) fn make(s: &Scored<'_>) -> Feedback {
    let max_points = s.question.points.value;
    let share = score::total(s.shares);
    let verdict = match share {
        1.0 => Verdict::Right,
        0.0 => Verdict::Wrong,
        _ => Verdict::Partly,
    };
    let picture = s.ask.picture;
    let mut out = Feedback {
        verdict,
        points: share * max_points,
        max_points,
        given: String::new(),
        right: Vec::new(),
        right_places: Vec::new(),
        chosen_places: Vec::new(),
        why: String::new(),
        why_by_author: false,
        tempting: Vec::new(),
        compare: None,
        twin: (!picture.specimen.occurrences.is_empty() || !picture.hide.is_empty())
            .then(|| picture.healthy()),
        causes: Vec::new(),
        next: Vec::new(),
        caution: Vec::new(),
        critical: score::is_harmful(&s.question.form.value, s.answer),
        about: s.question.about.iter().map(|a| a.value.clone()).collect(),
    };
    let mut why = s.explained(&mut out);
    if let Some(text) = &s.question.why {
        why = text.value.clone();
        out.why_by_author = true;
    }
    if why.is_empty() {
        let right = joined(&out.right);
        why = tr_with("feedback-right-is", &[("right", &right)]);
    }
    out.why = why;
    out
}

impl Scored<'_> {
    /// Fills in what depends on the form, and gives back why the right answer is right.
    fn explained(&self, out: &mut Feedback) -> String {
        match self.ask.form {
            Form::Point { part, number, .. } => {
                self.pointed(part, number.as_ref().map(|n| n.value), out)
            }
            Form::Name { target, .. } => self.named(target, out),
            Form::Missing { right, .. } => self.missing(right, out),
            Form::Choice { right, .. } => self.chosen(right, out),
            Form::Order { steps, before, safety } => self.ordered(steps, before, safety, out),
            Form::Diagnose { condition, cause, began } => {
                self.diagnosed(condition, cause, began, out)
            }
            Form::NormalOrNot => self.normal_or_not(out),
            Form::Which { right, .. } => self.which(right, out),
            Form::Grade { condition } => self.graded(condition, out),
            Form::Compare { condition, .. } => self.compared(condition.as_ref(), out),
            Form::MarkAll { .. } => self.marked(out),
            Form::Age { truth, .. } => self.aged(truth.value, out),
            Form::NextLook { options, .. } => self.looked(options, out),
            Form::Evidence { cause, options } => self.weighed(cause, options, out),
            Form::Readings { sheet, ask } => match &ask.value {
                SheetAsk::Correct { cell, .. } => self.corrected(&sheet.value, cell.value, out),
                SheetAsk::Outlier { column, right } => {
                    self.outlying(&sheet.value, column.value, right, out)
                }
                SheetAsk::Decide { right, .. } => self.chosen(right, out),
            },
        }
    }

    /// What the catalogue says on what the question is about.
    fn taught(&self) -> String {
        let c = self.ask.catalogue;
        let said = self.question.about.iter().filter_map(|id| {
            let fact = c.facts.iter().find(|f| f.id.value == id.value).map(|f| f.text.clone());
            fact.or_else(|| c.part(id).map(|p| p.what.text.clone()))
                .or_else(|| c.condition(id).map(|x| x.see.text.clone()))
                .or_else(|| c.mechanism(id).map(|m| m.what.text.clone()))
        });
        said.collect::<Vec<_>>().join(" ")
    }

    /// The tell of a wrong option: the author's words first, then those given, then a plain one.
    fn tempt(&self, id: &str, name: String, tell: Option<String>, out: &mut Feedback) {
        let tell = match self.question.tells.get(id) {
            Some(text) => text.value.clone(),
            None => tell.filter(|t| !t.is_empty()).unwrap_or_else(|| {
                let right = joined(&out.right);
                tr_with("feedback-not-this", &[("name", &name), ("right", &right)])
            }),
        };
        out.tempting.push(Tempting { id: id.to_owned(), name, tell });
    }

    /// What the rules make of the scene, and what could hurt someone.
    fn reasoned(&self, conditions: &[&str], causes: &[&str], out: &mut Feedback) {
        let c = self.ask.catalogue;
        let reasoned = reason::reason(c, self.ask.scene, self.ask.picture);
        out.causes = reasoned.causes;
        let shown = || conditions.iter().filter_map(|id| c.condition(id));
        out.next.extend(shown().map(|x| x.measure.text.clone()));
        out.next.extend(reasoned.next);
        let cautions = shown()
            .map(|x| x.caution.text.clone())
            .chain(causes.iter().filter_map(|id| c.mechanism(id)).map(|m| m.caution.text.clone()));
        for caution in cautions {
            if !caution.is_empty() && !out.caution.contains(&caution) {
                out.caution.push(caution);
            }
        }
    }
}

/// Several answers in one line.
fn joined(all: &[String]) -> String {
    let mut words = all.iter();
    let Some(first) = words.next() else { return tr("answer-nothing") };
    words.fold(first.clone(), |a, b| tr_with("answer-joined", &[("a", &a), ("b", b)]))
}

/// Two ids to be shown side by side, when both are entries of the catalogue.
fn pair(right: &str, chosen: &str) -> Option<(Slug, Slug)> {
    let entry =
        |id: &str| Slug::parse(id).ok().filter(|s| ![NORMAL, NOT_NORMAL].contains(&s.as_str()));
    (right != chosen).then_some(())?;
    Some((entry(right)?, entry(chosen)?))
}
