//! How hard a question is and whether it tells good learners from others.

use crate::estimate::{Estimate, Undefined, at_least, correlation, mean};
use crate::proportion;

/// Answers of learners to questions: one row a learner, one column a question, right or wrong.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answers {
    rows: Vec<Vec<bool>>,
    questions: usize,
}

impl Answers {
    /// Answers of learners; each row as long as the first, two questions and a learner at least.
    pub fn new(rows: Vec<Vec<bool>>) -> Result<Self, Undefined> {
        at_least(1, rows.len())?;
        let questions = rows.first().map_or(0, Vec::len);
        at_least(2, questions)?;
        if rows.iter().any(|row| row.len() != questions) {
            return Err(Undefined::Contradictory("equally many questions for each learner"));
        }
        Ok(Self { rows, questions })
    }

    /// Number of learners.
    pub fn learners(&self) -> usize {
        self.rows.len()
    }

    /// Number of questions.
    pub fn questions(&self) -> usize {
        self.questions
    }

    fn column(&self, question: usize) -> Result<Vec<f64>, Undefined> {
        if question >= self.questions {
            return Err(Undefined::OutOfRange("a question"));
        }
        Ok(self.rows.iter().map(|row| f64::from(u8::from(row[question]))).collect())
    }

    /// Number right of each learner.
    pub fn totals(&self) -> Vec<f64> {
        self.rows.iter().map(|row| row.iter().filter(|right| **right).count() as f64).collect()
    }

    /// Share of learners who got a question right: high is easy.
    ///
    /// # Source
    /// [`proportion::wilson`].
    pub fn difficulty(&self, question: usize) -> Result<Estimate, Undefined> {
        let right = self.column(question)?.iter().sum::<f64>() as u32;
        proportion::wilson(right, at_least(1, self.learners())?)
    }

    /// Correlation of a question with the total, itself included.
    ///
    /// # Source
    /// Point-biserial correlation, which is Pearson's on 0 and 1.
    pub fn discrimination_raw(&self, question: usize) -> Result<f64, Undefined> {
        correlation(&self.column(question)?, &self.totals())
    }

    /// Correlation of a question with the rest of the total: the one to show.
    ///
    /// Near 0 its standard error is about 1/√learners, so 0.36 either way of 30 says nothing.
    ///
    /// # Source
    /// Corrected point-biserial correlation.
    pub fn discrimination(&self, question: usize) -> Result<Estimate, Undefined> {
        let column = self.column(question)?;
        let rest: Vec<f64> = self.totals().iter().zip(&column).map(|(t, u)| t - u).collect();
        let value = correlation(&column, &rest)?;
        let n = at_least(4, self.learners())?;
        // Fisher's transformation keeps the interval within -1 and 1.
        let reach = crate::normal::Z95 / libm::sqrt(f64::from(n) - 3.0);
        let middle = libm::atanh(value.clamp(-1.0 + 1e-12, 1.0 - 1e-12));
        Ok(Estimate {
            value,
            low: libm::tanh(middle - reach),
            high: libm::tanh(middle + reach),
            n,
            method: "corrected point-biserial, Fisher 95 %",
        })
    }

    /// Share right in the best 27 % of learners minus that in the worst 27 %.
    ///
    /// # Source
    /// Kelley 1939; ties are broken by the order of the learners.
    pub fn extremes(&self, question: usize) -> Result<f64, Undefined> {
        let column = self.column(question)?;
        let totals = self.totals();
        let group = (0.27 * self.learners() as f64).round() as usize;
        at_least(1, group)?;
        let mut order: Vec<usize> = (0..totals.len()).collect();
        order.sort_by(|a, b| totals[*a].total_cmp(&totals[*b]));
        let share = |learners: &[usize]| {
            learners.iter().map(|i| column[*i]).sum::<f64>() / learners.len() as f64
        };
        Ok(share(&order[order.len() - group..]) - share(&order[..group]))
    }

    /// Reliability of the total in this group of learners.
    ///
    /// Falls when all learners are alike, however good the questions are.
    ///
    /// # Source
    /// Kuder and Richardson 1937, formula 20, variances divided by the number of learners.
    pub fn reliability(&self) -> Result<f64, Undefined> {
        let all: Vec<usize> = (0..self.questions).collect();
        self.reliability_of(&all)
    }

    /// Reliability without one question: higher than with it means that it harms.
    ///
    /// # Source
    /// [`Answers::reliability`] of the rest.
    pub fn reliability_without(&self, question: usize) -> Result<f64, Undefined> {
        let rest: Vec<usize> = (0..self.questions).filter(|i| *i != question).collect();
        self.reliability_of(&rest)
    }

    fn reliability_of(&self, kept: &[usize]) -> Result<f64, Undefined> {
        let k = f64::from(at_least(2, kept.len())?);
        let totals: Vec<f64> =
            self.rows.iter().map(|row| kept.iter().filter(|i| row[**i]).count() as f64).collect();
        let spread = variance(&totals);
        if spread == 0.0 {
            return Err(Undefined::NoSpread);
        }
        let mut parts = 0.0;
        for i in kept {
            let p = mean(&self.column(*i)?);
            parts += p * (1.0 - p);
        }
        Ok(k / (k - 1.0) * (1.0 - parts / spread))
    }

    /// Reliability if all questions were equally hard; never above [`Answers::reliability`].
    ///
    /// # Source
    /// Kuder and Richardson 1937, formula 21.
    pub fn reliability_21(&self) -> Result<f64, Undefined> {
        let k = self.questions as f64;
        let totals = self.totals();
        let (m, spread) = (mean(&totals), variance(&totals));
        if spread == 0.0 {
            return Err(Undefined::NoSpread);
        }
        Ok(k / (k - 1.0) * (1.0 - m * (k - m) / (k * spread)))
    }

    /// Standard error of one learner's total.
    ///
    /// # Source
    /// √(variance · (1 − reliability)).
    pub fn total_se(&self) -> Result<f64, Undefined> {
        Ok(libm::sqrt(variance(&self.totals()) * (1.0 - self.reliability()?)))
    }
}

/// Mean square about the mean.
pub fn variance(values: &[f64]) -> f64 {
    let middle = mean(values);
    values.iter().map(|v| (v - middle) * (v - middle)).sum::<f64>() / values.len() as f64
}

/// Reliability of a test so many times as long.
///
/// # Source
/// Spearman 1910, Brown 1910.
pub fn lengthened(reliability: f64, times: f64) -> f64 {
    times * reliability / (1.0 + (times - 1.0) * reliability)
}

/// How many times as long a test must be for a reliability.
///
/// # Source
/// Spearman and Brown turned round.
pub fn length_for(reliability: f64, target: f64) -> Result<f64, Undefined> {
    let inside = |r: f64| r > 0.0 && r < 1.0;
    if !inside(reliability) || !inside(target) {
        return Err(Undefined::OutOfRange("reliabilities between 0 and 1"));
    }
    Ok(target * (1.0 - reliability) / (reliability * (1.0 - target)))
}

/// Number right less what guessing among `m` options would add.
///
/// # Source
/// Right − wrong/(m − 1).
pub fn less_guessing(right: u32, wrong: u32, m: u32) -> Result<f64, Undefined> {
    if m < 2 {
        return Err(Undefined::TooFew { needed: 2, met: m });
    }
    Ok(f64::from(right) - f64::from(wrong) / f64::from(m - 1))
}

/// How one option of a question was chosen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OptionUse {
    /// Share of learners who chose it.
    pub share: f64,
    /// Correlation of choosing it with the score; undefined when all or none chose it.
    pub discrimination: Result<f64, Undefined>,
}

/// What an option's use says about the question.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Flag {
    /// Chosen by fewer than 1 in 20: dead weight.
    Unused,
    /// A wrong option that better learners choose: perhaps a second right answer.
    Defensible,
    /// A wrong option that better learners choose more than the key: perhaps a wrong key.
    Miskeyed,
    /// The key itself goes with lower scores.
    KeyFails,
}

/// Use of each option from the option chosen and the score of each learner.
///
/// # Source
/// Pearson's correlation of 0 and 1 with the score.
pub fn option_use(
    options: usize,
    chosen: &[usize],
    scores: &[f64],
) -> Result<Vec<OptionUse>, Undefined> {
    at_least(1, chosen.len())?;
    if chosen.len() != scores.len() || chosen.iter().any(|o| *o >= options) {
        return Err(Undefined::Contradictory("one option and one score for each learner"));
    }
    Ok((0..options)
        .map(|option| {
            let took: Vec<f64> = chosen.iter().map(|o| f64::from(u8::from(*o == option))).collect();
            OptionUse { share: mean(&took), discrimination: correlation(&took, scores) }
        })
        .collect())
}

/// Flags of each option, given which is the key.
pub fn flags(uses: &[OptionUse], key: usize) -> Vec<(usize, Flag)> {
    let of = |i: usize| uses.get(i).and_then(|u| u.discrimination.ok());
    let mut flags = Vec::new();
    for (i, one) in uses.iter().enumerate() {
        let r = one.discrimination.ok();
        if i == key {
            if r.is_some_and(|r| r <= 0.0) {
                flags.push((i, Flag::KeyFails));
            }
            continue;
        }
        if one.share < 0.05 {
            flags.push((i, Flag::Unused));
        }
        match (r, of(key)) {
            (Some(r), Some(k)) if r > k => flags.push((i, Flag::Miskeyed)),
            (Some(r), _) if r > 0.0 => flags.push((i, Flag::Defensible)),
            _ => {}
        }
    }
    flags
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_question_that_all_get_right_has_no_discrimination() {
        let answers = Answers::new(vec![
            vec![true, true, false],
            vec![true, false, false],
            vec![true, true, true],
            vec![true, false, true],
        ])
        .unwrap();
        assert_eq!(answers.discrimination(0), Err(Undefined::NoSpread));
        assert!(answers.reliability().unwrap() <= 1.0);
        assert_eq!(answers.difficulty(0).unwrap().value, 1.0);
    }

    #[test]
    fn learners_who_are_all_alike_have_no_reliability() {
        let alike = Answers::new(vec![vec![true, false]; 5]).unwrap();
        assert_eq!(alike.reliability(), Err(Undefined::NoSpread));
    }

    #[test]
    fn extremes_tell_a_sharp_question_from_a_blunt_one() {
        let rows = (0..10).map(|i| vec![i >= 5, i % 2 == 0, i >= 3, i >= 7]).collect();
        let answers = Answers::new(rows).unwrap();
        assert!((answers.extremes(0).unwrap() - 1.0).abs() < 1e-12);
        // Two of the worst three have it right and one of the best three.
        assert!((answers.extremes(1).unwrap() + 1.0 / 3.0).abs() < 1e-12);
    }

    #[test]
    fn wrong_keys_are_flagged() {
        let scores = [1.0, 2.0, 3.0, 4.0, 5.0, 6.0];
        let uses = option_use(3, &[0, 0, 0, 1, 1, 1], &scores).unwrap();
        assert_eq!(flags(&uses, 0), [(0, Flag::KeyFails), (1, Flag::Miskeyed), (2, Flag::Unused)]);
        assert_eq!(flags(&uses, 1), [(2, Flag::Unused)]);
    }

    #[test]
    fn ragged_answers_are_refused() {
        assert!(Answers::new(vec![vec![true, false], vec![true]]).is_err());
        assert!(Answers::new(vec![]).is_err());
    }
}
