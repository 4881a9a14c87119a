//! What is said after an answer: what is right, why, why the other was tempting, what follows.

use crate::{
    answer::{Age, Answer},
    format::{Began, Form, NORMAL, Pick, Question, Scene},
    options,
    picture::Picture,
    places, reason,
    score::{self, band_id},
};
use jarlight_model::{
    catalogue::Catalogue,
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
    /// Ids of what the question teaches, for links.
    pub about: Vec<Slug>,
}

/// A scored question with all that its feedback is made from.
pub(crate) struct Scored<'a> {
    pub catalogue: &'a Catalogue,
    pub question: &'a Question,
    pub scene: &'a Scene,
    pub picture: &'a Picture,
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
        twin: (!s.picture.specimen.occurrences.is_empty() || !s.picture.hide.is_empty())
            .then(|| s.picture.healthy()),
        causes: Vec::new(),
        next: Vec::new(),
        caution: Vec::new(),
        about: s.question.about.iter().map(|a| a.value.clone()).collect(),
    };
    let mut why = match &s.question.form.value {
        Form::Point { part, number, .. } => {
            s.pointed(part, number.as_ref().map(|n| n.value), &mut out)
        }
        Form::Name { target, .. } => s.named(target, &mut out),
        Form::Choice { right, .. } => s.chosen(right, &mut out),
        Form::Diagnose { condition, cause, began } => {
            s.diagnosed(condition, cause, began, &mut out)
        }
    };
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
    /// What the catalogue says on what the question is about.
    fn taught(&self) -> String {
        let c = self.catalogue;
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

    fn pointed(&self, part: &Slug, number: Option<u32>, out: &mut Feedback) -> String {
        let place = match number {
            Some(n) => format!("{part}-{n}"),
            None => part.to_string(),
        };
        out.right = vec![options::place_text(self.catalogue, &place)];
        out.right_places = vec![place];
        let Answer::Point { place: hit, .. } = self.answer else { return String::new() };
        out.given = match hit {
            Some(hit) => options::place_text(self.catalogue, hit),
            None => tr("answer-nowhere"),
        };
        out.chosen_places = hit.iter().cloned().collect();
        if let Some((chosen, _)) = hit.as_deref().and_then(places::split)
            && out.verdict != Verdict::Right
        {
            self.part_tell(part, chosen, out);
        }
        self.part_why(part)
    }

    fn named(&self, target: &str, out: &mut Feedback) -> String {
        let Some((part, _)) = places::split(target) else { return String::new() };
        out.right = vec![self.catalogue.name_of(part)];
        out.right_places = vec![target.to_owned()];
        let Answer::One(chosen) = self.answer else { return String::new() };
        out.given = self.catalogue.name_of(chosen);
        if chosen != part {
            self.part_tell(part, chosen, out);
        }
        self.part_why(part)
    }

    fn part_why(&self, part: &str) -> String {
        self.catalogue
            .part(part)
            .map_or_else(String::new, |p| format!("{} {}", p.recognise.text, p.what.text))
    }

    /// Names the difference between two parts and shows them side by side.
    fn part_tell(&self, right: &str, chosen: &str, out: &mut Feedback) {
        let name = self.catalogue.name_of(chosen);
        let tell = self.catalogue.part(chosen).map(|p| {
            tr_with("feedback-part-tell", &[("name", &name), ("tell", &p.recognise.text)])
        });
        self.tempt(chosen, name, tell, out);
        out.compare = pair(right, chosen);
    }

    fn chosen(&self, right: &str, out: &mut Feedback) -> String {
        out.right = vec![right.to_owned()];
        let Answer::One(chosen) = self.answer else { return String::new() };
        out.given = chosen.clone();
        if chosen != right {
            self.tempt(chosen, chosen.clone(), None, out);
        }
        self.taught()
    }

    fn diagnosed(
        &self,
        condition: &Pick,
        cause: &Pick,
        began: &Began,
        out: &mut Feedback,
    ) -> String {
        let c = self.catalogue;
        let right_age = options::right_age_text(began);
        out.right = vec![
            options::condition_text(c, &condition.right),
            options::cause_text(c, &cause.right),
            right_age,
        ];
        let Answer::Diagnosis { condition: said, cause: said_cause, began: said_age } = self.answer
        else {
            return String::new();
        };
        out.given = joined(&[
            options::condition_text(c, said),
            options::cause_text(c, said_cause),
            options::age_text(said_age),
        ]);
        let shown = c.condition(&condition.right);
        if *said != *condition.right.as_str() {
            let tell = self.condition_tell(&condition.right, said);
            self.tempt(said, options::condition_text(c, said), tell, out);
            out.compare = pair(&condition.right, said);
        }
        if *said_cause != *cause.right.as_str() {
            let tell = match (cause.right.as_str(), c.mechanism(said_cause)) {
                (NORMAL, _) => Some(tr("feedback-cause-normal")),
                (right, None) => c
                    .mechanism(right)
                    .map(|m| tr_with("feedback-cause-some", &[("what", &m.what.text)])),
                (_, Some(m)) => Some(m.what.text.clone()),
            };
            self.tempt(said_cause, options::cause_text(c, said_cause), tell, out);
        }
        if self.shares.get(2).is_some_and(|share| *share < 1.0) {
            let clock = shown.and_then(|x| x.clock.as_ref()).map_or("", |said| &said.text);
            let (id, tell) = age_tell(began, said_age, clock);
            self.tempt(&id, options::age_text(said_age), Some(tell), out);
        }
        let reasoned = reason::reason(c, self.scene, self.picture);
        out.causes = reasoned.causes;
        out.next.extend(shown.map(|x| x.measure.text.clone()));
        out.next.extend(reasoned.next);
        let cautions = [
            shown.map(|x| x.caution.text.clone()),
            c.mechanism(&cause.right).map(|m| m.caution.text.clone()),
        ];
        out.caution = cautions.into_iter().flatten().filter(|t| !t.is_empty()).collect();
        match shown {
            None => tr("feedback-healthy"),
            Some(x) => {
                let clock = x.clock.iter().map(|said| said.text.clone());
                let cause = c.mechanism(&cause.right).map(|m| m.what.text.clone());
                let all = std::iter::once(x.see.text.clone()).chain(cause).chain(clock);
                all.collect::<Vec<_>>().join(" ")
            }
        }
    }

    /// What tells a chosen condition from the right one, looked up in both directions.
    fn condition_tell(&self, right: &str, chosen: &str) -> Option<String> {
        let c = self.catalogue;
        let told = |a: &str, b: &str| {
            let condition = c.condition(a)?;
            condition.confused.iter().find(|k| k.with.value == b).map(|k| k.tell.clone())
        };
        told(right, chosen)
            .or_else(|| told(chosen, right))
            .or_else(|| c.condition(chosen).map(|x| x.see.text.clone()))
            .or_else(|| {
                c.condition(right).map(|x| tr_with("feedback-missed", &[("see", &x.see.text)]))
            })
    }
}

/// Why an age is wrong: too young, too old, or none where there is one.
fn age_tell(began: &Began, said: &Age, clock: &str) -> (String, String) {
    let right = match began {
        Began::Bands { right, .. } => right.as_ref().map(|r| r.value),
        Began::Interval { truth, .. } => truth.as_ref().map(|t| t.value),
    };
    let (id, span) = match (began, said) {
        (Began::Bands { bands, .. }, Age::Band(id)) => {
            (id.clone(), bands.iter().map(|b| b.value).find(|b| band_id(*b) == *id))
        }
        (_, Age::Band(id)) => (id.clone(), None),
        (_, Age::Months(from, to)) => (band_id((*from, *to)), Some((*from, *to))),
    };
    let tell = match (right, span) {
        (None, _) => tr("feedback-age-normal"),
        (Some(_), None) => tr("feedback-age-none"),
        (Some(right), Some(span)) => {
            let young = (span.0 + span.1) < (right.0 + right.1);
            let key = if young { "feedback-age-young" } else { "feedback-age-old" };
            tr_with(key, &[("clock", clock)]).trim_end().to_owned()
        }
    };
    (id, tell)
}

/// Several answers in one line.
fn joined(all: &[String]) -> String {
    let mut words = all.iter();
    let Some(first) = words.next() else { return tr("answer-nothing") };
    words.fold(first.clone(), |a, b| tr_with("answer-joined", &[("a", &a), ("b", b)]))
}

/// Two ids to be shown side by side, when both are entries of the catalogue.
fn pair(right: &str, chosen: &str) -> Option<(Slug, Slug)> {
    let entry = |id: &str| Slug::parse(id).ok().filter(|s| s.as_str() != NORMAL);
    (right != chosen).then_some(())?;
    Some((entry(right)?, entry(chosen)?))
}
