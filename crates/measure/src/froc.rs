//! Free marking over a block of pictures: figures of merit and their uncertainty.

use crate::estimate::{Estimate, Undefined, at_least, mean};
use crate::normal::Z95;

/// One picture: confidence of each mark that found something, and of each that did not.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Picture {
    /// For each finding, the confidence of the mark that found it; `None` when missed.
    pub findings: Vec<Option<u8>>,
    /// Confidence of each mark on nothing.
    pub unlocated: Vec<u8>,
}

impl Picture {
    fn normal(&self) -> bool {
        self.findings.is_empty()
    }

    /// Highest confidence on nothing; `None` ranks below every mark.
    fn noise(&self) -> Option<u8> {
        self.unlocated.iter().copied().max()
    }

    /// Highest confidence of any mark.
    fn highest(&self) -> Option<u8> {
        self.findings.iter().flatten().chain(&self.unlocated).copied().max()
    }
}

/// Which pictures' stray marks findings are compared with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Against {
    /// Normal pictures only.
    Normals,
    /// All pictures: more power where normals are few.
    All,
}

/// Whether each finding counts alike or each picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Weight {
    /// Each finding.
    Finding,
    /// Each picture, its findings sharing one vote.
    Picture,
}

/// Chance that a finding is marked more confidently than the worst stray mark of a picture.
///
/// 0.5 when nothing is marked anywhere, 1 when all is found with no stray mark as sure.
///
/// # Source
/// Chakraborty's figures of merit of the alternative free-response curve: 1 for higher, ½ for
/// equal, unmarked below every mark.
pub fn merit(pictures: &[Picture], against: Against, weight: Weight) -> Result<f64, Undefined> {
    let noise: Vec<Option<u8>> = pictures
        .iter()
        .filter(|picture| against == Against::All || picture.normal())
        .map(Picture::noise)
        .collect();
    at_least(1, noise.len())?;
    let abnormal: Vec<&Picture> = pictures.iter().filter(|picture| !picture.normal()).collect();
    at_least(1, abnormal.len())?;
    let (mut sum, mut weights) = (0.0, 0.0);
    for picture in abnormal {
        let vote = match weight {
            Weight::Finding => 1.0,
            Weight::Picture => 1.0 / picture.findings.len() as f64,
        };
        for found in &picture.findings {
            weights += vote;
            // An option without a value ranks below each one with a value, as wanted.
            sum += vote * noise.iter().map(|noise| above(*found, *noise)).sum::<f64>();
        }
    }
    Ok(sum / (weights * noise.len() as f64))
}

fn above(found: Option<u8>, noise: Option<u8>) -> f64 {
    match found.cmp(&noise) {
        core::cmp::Ordering::Greater => 1.0,
        core::cmp::Ordering::Equal => 0.5,
        core::cmp::Ordering::Less => 0.0,
    }
}

/// Figure of merit with an interval by leaving out each picture in turn.
///
/// # Source
/// Jackknife: pseudo-values n·θ − (n − 1)·θ without the picture.
pub fn merit_with_interval(
    pictures: &[Picture],
    against: Against,
    weight: Weight,
) -> Result<(Estimate, f64), Undefined> {
    let n = at_least(4, pictures.len())?;
    let value = merit(pictures, against, weight)?;
    let count = f64::from(n);
    let mut pseudo = Vec::with_capacity(pictures.len());
    for left_out in 0..pictures.len() {
        let mut rest = pictures.to_vec();
        rest.remove(left_out);
        pseudo.push(count * value - (count - 1.0) * merit(&rest, against, weight)?);
    }
    let middle = mean(&pseudo);
    let squares: f64 = pseudo.iter().map(|p| (p - middle) * (p - middle)).sum();
    let se = libm::sqrt(squares / (count - 1.0) / count);
    let estimate = Estimate {
        value,
        low: f64::max(value - Z95 * se, 0.0),
        high: f64::min(value + Z95 * se, 1.0),
        n,
        method: "free-marking merit, jackknife 95 %",
    };
    Ok((estimate, se))
}

/// One point of the free-response curves at a confidence.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Marks at least this sure count.
    pub confidence: u8,
    /// Stray marks a picture.
    pub strays_a_picture: f64,
    /// Share of findings found.
    pub found: f64,
    /// Share of normal pictures with a stray mark; `None` without normal pictures.
    pub normals_marked: Option<f64>,
}

/// The curve from the surest marks to all, confidences given from high to low.
///
/// # Source
/// Free-response and alternative free-response curves.
pub fn curve(pictures: &[Picture], confidences: &[u8]) -> Result<Vec<Point>, Undefined> {
    at_least(1, pictures.len())?;
    let findings: Vec<Option<u8>> =
        pictures.iter().flat_map(|picture| picture.findings.iter().copied()).collect();
    at_least(1, findings.len())?;
    let normals: Vec<&Picture> = pictures.iter().filter(|picture| picture.normal()).collect();
    Ok(confidences
        .iter()
        .map(|least| {
            let sure = |confidence: Option<u8>| confidence.is_some_and(|c| c >= *least);
            let share = |count: usize, of: usize| count as f64 / of as f64;
            let strays = pictures.iter().flat_map(|p| &p.unlocated).filter(|c| **c >= *least);
            let marked = normals.iter().filter(|picture| sure(picture.noise())).count();
            Point {
                confidence: *least,
                strays_a_picture: share(strays.count(), pictures.len()),
                found: share(findings.iter().filter(|f| sure(**f)).count(), findings.len()),
                normals_marked: (!normals.is_empty()).then(|| share(marked, normals.len())),
            }
        })
        .collect())
}

/// Chance that an abnormal picture's surest mark is surer than a normal one's, place ignored.
///
/// # Source
/// Area inferred from the highest mark of each picture.
pub fn picture_area(pictures: &[Picture]) -> Result<f64, Undefined> {
    let (normal, abnormal): (Vec<&Picture>, Vec<&Picture>) =
        pictures.iter().partition(|picture| picture.normal());
    at_least(1, normal.len())?;
    at_least(1, abnormal.len())?;
    let sum: f64 = abnormal
        .iter()
        .flat_map(|a| normal.iter().map(move |n| above(a.highest(), n.highest())))
        .sum();
    Ok(sum / (normal.len() * abnormal.len()) as f64)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn picture(findings: &[Option<u8>], unlocated: &[u8]) -> Picture {
        Picture { findings: findings.to_vec(), unlocated: unlocated.to_vec() }
    }

    #[test]
    fn no_marks_are_a_half_and_all_found_is_one() {
        let none = [picture(&[], &[]), picture(&[None, None], &[])];
        let all = [picture(&[], &[]), picture(&[Some(4), Some(4)], &[])];
        for weight in [Weight::Finding, Weight::Picture] {
            assert_eq!(merit(&none, Against::Normals, weight), Ok(0.5));
            assert_eq!(merit(&all, Against::Normals, weight), Ok(1.0));
        }
    }

    #[test]
    fn only_the_order_of_confidences_matters() {
        let low = [picture(&[], &[1]), picture(&[Some(1), Some(3)], &[2]), picture(&[None], &[])];
        let high = [picture(&[], &[2]), picture(&[Some(2), Some(9)], &[5]), picture(&[None], &[])];
        for against in [Against::Normals, Against::All] {
            assert_eq!(
                merit(&low, against, Weight::Finding),
                merit(&high, against, Weight::Finding)
            );
        }
    }

    #[test]
    fn normals_are_needed_to_compare_with() {
        assert!(merit(&[picture(&[Some(2)], &[])], Against::Normals, Weight::Finding).is_err());
    }
}
