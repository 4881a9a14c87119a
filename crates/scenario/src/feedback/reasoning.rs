//! Feedback on reasoning: the next look, and the evidence for a cause.

use super::{Feedback, Scored, joined};
use crate::{answer::Answer, options, score::NOTICEABLE};
use jarlight_model::{
    authored::Spot,
    id::Slug,
    text::{tr, tr_with},
    unit::trimmed,
};

impl Scored<'_> {
    /// What to look at next.
    pub(super) fn looked(&self, options: &[Spot<Slug>], out: &mut Feedback) -> String {
        let c = self.ask.catalogue;
        let looks = self.ask.looks(options);
        let best = looks.iter().max_by(|a, b| a.1.total_cmp(&b.1));
        out.right = best.iter().map(|(id, _)| options::look_text(c, id)).collect();
        let Answer::One(chosen) = self.answer else { return String::new() };
        let bits = looks.iter().find(|(id, _)| id == chosen).map(|(_, bits)| *bits);
        out.given = match bits {
            Some(_) => options::look_text(c, chosen),
            None => chosen.clone(),
        };
        if self.shares.first().is_none_or(|share| *share < 1.0) {
            let tell = match bits {
                None => "feedback-harmful",
                Some(bits) if bits > 0.0 => "feedback-look-less",
                Some(_) => "feedback-look-nothing",
            };
            self.tempt(chosen, out.given.clone(), Some(tr(tell)), out);
        }
        let wrong = self.ask.wrong();
        let ids: Vec<&str> = wrong.iter().map(|w| w.condition.as_str()).collect();
        self.reasoned(&ids, &[], out);
        tr("feedback-look-best")
    }

    /// Which findings speak for a cause.
    pub(super) fn weighed(
        &self,
        cause: &Slug,
        options: &[Spot<Slug>],
        out: &mut Feedback,
    ) -> String {
        let weights = self.ask.weights(cause, options);
        let text = |id: &str| options::finding_text(&self.ask, id);
        let speaks = |w: f64| w > NOTICEABLE;
        let mut all = weights.clone();
        all.sort_by(|a, b| b.1.total_cmp(&a.1));
        out.right = all.iter().filter(|(_, w)| speaks(*w)).map(|(id, _)| text(id)).collect();
        let Answer::Several(said) = self.answer else { return String::new() };
        out.given = joined(&said.iter().map(|id| text(id)).collect::<Vec<_>>());
        for (id, w) in &all {
            let chosen = said.contains(id);
            if chosen == speaks(*w) {
                continue;
            }
            let (name, decibans) = (text(id), trimmed(*w, 1));
            let key = if chosen { "feedback-evidence-none" } else { "feedback-evidence-for" };
            let tell = tr_with(key, &[("name", &name), ("decibans", &decibans)]);
            self.tempt(id, name, Some(tell), out);
        }
        let wrong = self.ask.wrong();
        let ids: Vec<&str> = wrong.iter().map(|w| w.condition.as_str()).collect();
        self.reasoned(&ids, &[cause], out);
        let why = all.iter().filter(|(_, w)| speaks(*w)).map(|(id, w)| {
            let told = [("name", text(id)), ("decibans", trimmed(*w, 1))];
            let told: Vec<(&str, &str)> = told.iter().map(|(k, v)| (*k, v.as_str())).collect();
            tr_with("feedback-evidence-for", &told)
        });
        why.collect::<Vec<_>>().join(" ")
    }
}
