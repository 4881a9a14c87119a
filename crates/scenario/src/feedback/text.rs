//! Feedback on texts that the author wrote: chosen, or put into order.

use super::{Feedback, Scored};
use crate::{answer::Answer, score};
use jarlight_model::{
    authored::Spot,
    text::{tr, tr_with},
};

impl Scored<'_> {
    /// One text.
    pub(super) fn chosen(&self, right: &str, out: &mut Feedback) -> String {
        out.right = vec![right.to_owned()];
        let Answer::One(chosen) = self.answer else { return String::new() };
        out.given = chosen.clone();
        if chosen != right {
            self.tempt(chosen, chosen.clone(), None, out);
        }
        self.taught()
    }

    /// Steps in an order.
    pub(super) fn ordered(
        &self,
        steps: &[Spot<String>],
        before: &[Spot<(u32, u32)>],
        safety: &[Spot<(u32, u32)>],
        out: &mut Feedback,
    ) -> String {
        let numbered = |texts: &[String]| {
            let step = |(i, text): (usize, &String)| {
                tr_with("answer-step", &[("n", &(i + 1).to_string()), ("step", text)])
            };
            texts.iter().enumerate().map(step).collect::<Vec<_>>()
        };
        let texts: Vec<String> = steps.iter().map(|s| s.value.clone()).collect();
        out.right = numbered(&texts);
        let Answer::Order(said) = self.answer else { return String::new() };
        out.given = numbered(said).join(" ");
        let words: Vec<&str> = texts.iter().map(String::as_str).collect();
        let all: Vec<Spot<(u32, u32)>> =
            if before.is_empty() { neighbours(steps) } else { before.to_vec() };
        for (key, pairs) in [("feedback-order-safety", safety), ("feedback-order-pair", &all)] {
            for (a, b) in score::broken_pairs(&words, pairs, said) {
                let told = [("first", words[a]), ("second", words[b])];
                let known = out.tempting.iter().any(|t| t.id == words[b]);
                if !known {
                    self.tempt(words[b], words[b].to_owned(), Some(tr_with(key, &told)), out);
                }
            }
        }
        match self.taught() {
            text if text.is_empty() => tr("feedback-order"),
            text => text,
        }
    }
}

/// Each step before the next one.
fn neighbours(steps: &[Spot<String>]) -> Vec<Spot<(u32, u32)>> {
    let n = u32::try_from(steps.len()).unwrap_or(u32::MAX);
    (1..n).map(|i| Spot { value: (i, i + 1), at: 0..0 }).collect()
}
