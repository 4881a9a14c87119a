//! Feedback on parts: pointed at, named, missing.

use super::{Feedback, Scored, Verdict, pair};
use crate::{answer::Answer, format::NONE, options, places};
use jarlight_model::{
    id::Slug,
    text::{tr, tr_with},
};

impl Scored<'_> {
    pub(super) fn pointed(&self, part: &Slug, number: Option<u32>, out: &mut Feedback) -> String {
        let place = match number {
            Some(n) => format!("{part}-{n}"),
            None => part.to_string(),
        };
        out.right = vec![options::place_text(self.ask.catalogue, &place)];
        out.right_places = vec![place];
        let Answer::Point { place: hit, .. } = self.answer else { return String::new() };
        out.given = match hit {
            Some(hit) => options::place_text(self.ask.catalogue, hit),
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

    pub(super) fn named(&self, target: &str, out: &mut Feedback) -> String {
        let Some((part, _)) = places::split(target) else { return String::new() };
        out.right = vec![self.ask.catalogue.name_of(part)];
        out.right_places = vec![target.to_owned()];
        let Answer::One(chosen) = self.answer else { return String::new() };
        out.given = self.ask.catalogue.name_of(chosen);
        if chosen != part {
            self.part_tell(part, chosen, out);
        }
        self.part_why(part)
    }

    fn part_why(&self, part: &str) -> String {
        self.ask
            .catalogue
            .part(part)
            .map_or_else(String::new, |p| format!("{} {}", p.recognise.text, p.what.text))
    }

    /// Names the difference between two parts and shows them side by side.
    fn part_tell(&self, right: &str, chosen: &str, out: &mut Feedback) {
        let name = self.ask.catalogue.name_of(chosen);
        let tell = self.ask.catalogue.part(chosen).map(|p| {
            tr_with("feedback-part-tell", &[("name", &name), ("tell", &p.recognise.text)])
        });
        self.tempt(chosen, name, tell, out);
        out.compare = pair(right, chosen);
    }

    /// A part that is missing from the drawing, or none.
    pub(super) fn missing(&self, right: &Slug, out: &mut Feedback) -> String {
        let c = self.ask.catalogue;
        let none = right.as_str() == NONE;
        out.right = vec![options::condition_text(c, right)];
        if !none {
            out.right_places = vec![right.to_string()];
        }
        let Answer::One(chosen) = self.answer else { return String::new() };
        out.given = options::condition_text(c, chosen);
        if chosen != right.as_str() {
            let tell = match c.part(chosen) {
                Some(part) => {
                    out.chosen_places = vec![chosen.clone()];
                    let told = [("name", part.name.as_str()), ("place", &part.place.text)];
                    tr_with("feedback-there", &told)
                }
                None => c.part(right).map_or_else(String::new, |p| {
                    let told = [("name", p.name.as_str()), ("what", &p.place.text)];
                    tr_with("feedback-something-missing", &told)
                }),
            };
            self.tempt(chosen, out.given.clone(), Some(tell), out);
        }
        match c.part(right) {
            Some(part) => format!("{} {}", part.place.text, part.job.text),
            None => tr("feedback-none-missing"),
        }
    }
}
