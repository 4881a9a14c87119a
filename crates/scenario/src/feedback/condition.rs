//! Feedback on conditions: shown or not, which, how far, since when, where.

use super::{Feedback, Scored, joined, pair};
use crate::{
    answer::{Age, Answer},
    format::{Began, NORMAL, NOT_NORMAL, Pick},
    key::grade_in,
    options,
    score::{self, band_id},
};
use jarlight_model::{
    authored::Spot,
    id::Slug,
    text::{tr, tr_with},
    unit::Grade,
};

impl Scored<'_> {
    pub(super) fn diagnosed(
        &self,
        condition: &Pick,
        cause: &Pick,
        began: &Began,
        out: &mut Feedback,
    ) -> String {
        let c = self.ask.catalogue;
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
        self.reasoned(&[&condition.right], &[&cause.right], out);
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
        let c = self.ask.catalogue;
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

    /// Normal, or something is wrong.
    pub(super) fn normal_or_not(&self, out: &mut Feedback) -> String {
        let c = self.ask.catalogue;
        let wrong = self.ask.wrong();
        let right = if self.ask.is_normal() { NORMAL } else { NOT_NORMAL };
        out.right = vec![options::condition_text(c, right)];
        let hidden = self.ask.picture.hide.iter().map(|p| p.to_string());
        out.right_places = wrong.iter().filter_map(|w| w.place.clone()).chain(hidden).collect();
        let ids: Vec<&str> = wrong.iter().map(|w| w.condition.as_str()).collect();
        let harmless = self.ask.harmless();
        let seen = match ids.first().and_then(|id| c.condition(id)) {
            Some(x) => {
                let told = [("name", x.name.as_str()), ("see", &x.see.text)];
                tr_with("feedback-not-normal", &told)
            }
            None => match self.ask.picture.hide.first().and_then(|id| c.part(id)) {
                Some(p) => {
                    let told = [("name", p.name.as_str()), ("what", &p.place.text)];
                    tr_with("feedback-something-missing", &told)
                }
                // What was taken for a fault may have been a harmless look-alike.
                None => harmless.first().and_then(|h| c.condition(&h.condition)).map_or_else(
                    || tr("feedback-healthy"),
                    |x| format!("{}: {} {}", x.name, x.see.text, x.measure.text),
                ),
            },
        };
        let Answer::One(chosen) = self.answer else { return seen };
        out.given = options::condition_text(c, chosen);
        if chosen != right {
            self.tempt(chosen, out.given.clone(), Some(seen.clone()), out);
        }
        self.reasoned(&ids, &[], out);
        seen
    }

    /// One or several conditions, or causes.
    pub(super) fn which(&self, right: &[Spot<Slug>], out: &mut Feedback) -> String {
        let c = self.ask.catalogue;
        let causes = right.iter().any(|r| c.mechanism(r).is_some());
        let text = |id: &str| match causes {
            true => options::cause_text(c, id),
            false => options::condition_text(c, id),
        };
        out.right = right.iter().map(|r| text(r)).collect();
        let said: Vec<String> = match self.answer {
            Answer::One(id) => vec![id.clone()],
            Answer::Several(ids) => ids.clone(),
            _ => return String::new(),
        };
        out.given = joined(&said.iter().map(|id| text(id)).collect::<Vec<_>>());
        let is_right = |id: &str| right.iter().any(|r| r.as_str() == id);
        for id in said.iter().filter(|id| !is_right(id)) {
            let key = right.first().map_or(NORMAL, |r| r.as_str());
            let tell = match c.mechanism(id) {
                Some(m) => Some(m.what.text.clone()),
                None => self.condition_tell(key, id),
            };
            self.tempt(id, text(id), tell, out);
            out.compare = out.compare.take().or_else(|| pair(key, id));
        }
        // What was not chosen is a mistake too.
        for r in right.iter().filter(|r| !said.iter().any(|s| *s == r.as_str())) {
            if !matches!(self.answer, Answer::Several(_)) {
                break;
            }
            let see = c.condition(r).map(|x| &x.see).or(c.mechanism(r).map(|m| &m.what));
            let see = see.map_or("", |said| &said.text);
            let told = [("name", text(r)), ("see", see.to_owned())];
            let told: Vec<(&str, &str)> = told.iter().map(|(k, v)| (*k, v.as_str())).collect();
            self.tempt(r, text(r), Some(tr_with("feedback-missed-place", &told)), out);
        }
        let ids: Vec<&str> = right.iter().map(|r| r.as_str()).collect();
        self.reasoned(&ids, &ids, out);
        let why = ids.iter().filter_map(|id| {
            let condition = c.condition(id).map(|x| x.see.text.clone());
            condition.or_else(|| c.mechanism(id).map(|m| m.what.text.clone()))
        });
        let why: Vec<String> = why.collect();
        if why.is_empty() { tr("feedback-healthy") } else { why.join(" ") }
    }

    /// How far a condition has gone.
    pub(super) fn graded(&self, condition: &Slug, out: &mut Feedback) -> String {
        let c = self.ask.catalogue;
        let key = self.ask.grade(condition);
        let step = |g: Grade| {
            let steps = c.condition(condition).map_or(&[][..], |x| &x.steps);
            let step = match usize::from(g.value()).checked_sub(1) {
                None => tr("feedback-grade-none"),
                Some(i) => steps.get(i).cloned().unwrap_or_default(),
            };
            let grade = options::grade_text(g);
            tr_with("feedback-grade-is", &[("grade", &grade), ("step", &step)])
        };
        out.right = vec![options::grade_text(key)];
        let Answer::One(said) = self.answer else { return String::new() };
        if let Some(said) = said.parse().ok().and_then(|g| Grade::new(g).ok()) {
            out.given = options::grade_text(said);
            if said != key {
                self.tempt(&said.value().to_string(), out.given.clone(), Some(step(said)), out);
            }
        }
        self.reasoned(&[condition], &[], out);
        step(key)
    }

    /// Two pictures.
    pub(super) fn compared(&self, condition: Option<&Spot<Slug>>, out: &mut Feedback) -> String {
        let right = self.ask.side();
        out.right = right.iter().map(|s| options::side_text(*s)).collect();
        let Answer::One(said) = self.answer else { return String::new() };
        let sides =
            [crate::format::Side::First, crate::format::Side::Second, crate::format::Side::Same];
        out.given =
            sides.into_iter().find(|s| s.id() == said).map_or_else(String::new, options::side_text);
        let why = match (condition, self.ask.second) {
            (Some(condition), Some(second)) => {
                let grade = |p| options::grade_text(grade_in(p, condition));
                let told = [("first", grade(self.ask.picture)), ("second", grade(second))];
                let told: Vec<(&str, &str)> = told.iter().map(|(k, v)| (*k, v.as_str())).collect();
                tr_with("feedback-compared", &told)
            }
            _ => self.taught(),
        };
        if right.is_none_or(|r| r.id() != said) {
            self.tempt(said, out.given.clone(), Some(why.clone()), out);
        }
        why
    }

    /// All that is wrong, marked.
    pub(super) fn marked(&self, out: &mut Feedback) -> String {
        let c = self.ask.catalogue;
        let Answer::Marks(marks) = self.answer else { return String::new() };
        let wrong = self.ask.wrong();
        let judged = score::judge(&self.ask, marks);
        let named = |label: &str, place: Option<&str>| {
            let name = c.name_of(label);
            match place {
                None => name,
                Some(place) => {
                    let place = options::place_text(c, place);
                    tr_with("answer-place", &[("name", &name), ("place", &place)])
                }
            }
        };
        out.right = wrong.iter().map(|w| named(&w.condition, w.place.as_deref())).collect();
        if out.right.is_empty() {
            out.right.push(options::condition_text(c, NORMAL));
        }
        out.right_places = wrong.iter().filter_map(|w| w.place.clone()).collect();
        let said: Vec<String> = marks.iter().map(|m| named(&m.label, m.place.as_deref())).collect();
        out.given = joined(&said);
        out.chosen_places = marks.iter().filter_map(|m| m.place.clone()).collect();
        for (w, mark) in wrong.iter().zip(&judged.matched) {
            let see = c.condition(&w.condition).map_or("", |x| &x.see.text);
            let name = c.name_of(&w.condition);
            match mark.and_then(|i| marks.get(i)) {
                None => {
                    let told = [("name", name.as_str()), ("see", see)];
                    let tell = tr_with("feedback-missed-place", &told);
                    self.tempt(&w.condition, name.clone(), Some(tell), out);
                }
                Some(mark) if mark.label != w.condition => {
                    let tell = self
                        .condition_tell(&w.condition, &mark.label)
                        .unwrap_or_else(|| tr_with("feedback-label", &[("name", &name)]));
                    self.tempt(&mark.label, c.name_of(&mark.label), Some(tell), out);
                }
                Some(_) => {}
            }
        }
        for mark in judged.unlocated.iter().filter_map(|i| marks.get(*i)) {
            let tell = Some(tr("feedback-false-mark"));
            self.tempt(&mark.label, named(&mark.label, mark.place.as_deref()), tell, out);
        }
        let ids: Vec<&str> = wrong.iter().map(|w| w.condition.as_str()).collect();
        self.reasoned(&ids, &[], out);
        let see = ids.iter().filter_map(|id| c.condition(id)).map(|x| x.see.text.clone());
        let see: Vec<String> = see.collect();
        if see.is_empty() { tr("feedback-healthy") } else { see.join(" ") }
    }

    /// An interval of months.
    pub(super) fn aged(&self, truth: (f64, f64), out: &mut Feedback) -> String {
        let c = self.ask.catalogue;
        out.right = vec![options::span_text(truth)];
        let Answer::Interval(from, to) = self.answer else { return String::new() };
        let said = Age::Months(*from, *to);
        out.given = options::age_text(&said);
        let wrong = self.ask.wrong();
        let ids: Vec<&str> = wrong.iter().map(|w| w.condition.as_str()).collect();
        let shown = ids.iter().filter_map(|id| c.condition(id));
        let clock = shown.filter_map(|x| x.clock.as_ref()).map(|s| s.text.clone());
        let clock = clock.collect::<Vec<_>>().join(" ");
        if *to < truth.0 || *from > truth.1 {
            let began = Began::Interval {
                truth: Some(Spot { value: truth, at: 0..0 }),
                scale: Spot { value: truth, at: 0..0 },
            };
            let (id, tell) = age_tell(&began, &said, &clock);
            self.tempt(&id, out.given.clone(), Some(tell), out);
        }
        self.reasoned(&ids, &[], out);
        clock
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
