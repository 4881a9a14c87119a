//! Free marking.

use jarlight_measure::froc::*;
use jarlight_measure::marking::*;

use super::{hold, six};

type Place = (f64, f64);

/// Marks by distance in the plane, all labels wrong unless stated.
fn marks(at: &[Place], findings: &[Place], reach: f64) -> Vec<Mark> {
    at.iter()
        .map(|(x, y)| Mark {
            distances: findings
                .iter()
                .map(|(fx, fy)| ((x - fx) * (x - fx) + (y - fy) * (y - fy)).sqrt() / reach)
                .collect(),
            labels: vec![Label::Wrong; findings.len()],
            on_ignored: false,
        })
        .collect()
}

#[test]
fn matching_is_not_greedy() {
    // The nearest pair first would take mark 1.9 for the finding at 0 and leave the other out.
    let made = marks(&[(1.9, 0.0), (-3.0, 0.0)], &[(0.0, 0.0), (4.0, 0.0)], 5.0);
    let stated = [[1.9, 2.1], [3.0, 7.0]];
    for (mark, stated) in made.iter().zip(stated) {
        let rows: Vec<_> =
            mark.distances.iter().zip(stated).map(|(d, s)| six("distance", d * 5.0, s)).collect();
        hold("arithmetic", &rows);
    }
    assert_eq!(match_marks(&made, 2), [Fate::Located(1), Fate::Located(0)]);
}

#[test]
fn a_picture_worked_by_hand() {
    let findings = [(10.0, 10.0), (16.0, 10.0)];
    let mut made = marks(&[(13.0, 10.0), (17.0, 10.0), (30.0, 30.0), (9.0, 10.0)], &findings, 5.0);
    let stated = [[0.6, 0.6], [1.4, 0.2], [5.657, 4.883], [0.2, 1.4]];
    for (mark, stated) in made.iter().zip(stated) {
        for (met, stated) in mark.distances.iter().zip(stated) {
            assert!((met - stated).abs() < 6e-4, "{met}, stated {stated}");
        }
    }
    made[1].labels[1] = Label::Exact;
    made[3].labels[0] = Label::Family;
    let fates = match_marks(&made, 2);
    let duplicate = matches!(fates[0], Fate::Duplicate(_));
    assert!(duplicate, "{fates:?}");
    assert_eq!(fates[1..], [Fate::Located(1), Fate::Unlocated, Fate::Located(0)]);
    let met = score(&made, &fates, &[1.0, 1.0], Rule::USUAL);
    hold("arithmetic, (1 + 0.75 − 0.25)/2", &[six("share", met.share, 0.75)]);
}

#[test]
fn blind_marks_lose() {
    // A reach of 0.05 of the side covers 0.007854 of the picture.
    let covered = core::f64::consts::PI * 0.05 * 0.05;
    hold("arithmetic", &[six("covered", covered, 0.007854)]);
    assert!(covered < Rule::USUAL.stray, "a blind mark must cost more than it can gain");
}

fn block() -> Vec<Picture> {
    let picture = |findings: &[Option<u8>], unlocated: &[u8]| Picture {
        findings: findings.to_vec(),
        unlocated: unlocated.to_vec(),
    };
    vec![
        picture(&[], &[]),
        picture(&[], &[1]),
        picture(&[], &[2, 1]),
        picture(&[Some(4), None], &[1]),
        picture(&[Some(3)], &[]),
        picture(&[Some(2)], &[3]),
    ]
}

#[test]
fn figures_of_merit_of_a_block() {
    let block = block();
    let at = |against, weight| merit(&block, against, weight).unwrap();
    let (estimate, se) = merit_with_interval(&block, Against::Normals, Weight::Finding).unwrap();
    let mut rows = vec![
        six("normals", at(Against::Normals, Weight::Finding), 0.75),
        six("normals, by picture", at(Against::Normals, Weight::Picture), 0.805556),
        six("all", at(Against::All, Weight::Finding), 0.708333),
        six("all, by picture", at(Against::All, Weight::Picture), 0.75),
        six("with interval", estimate.value, 0.75),
        six("SE", se, 0.188838),
        six("picture area", picture_area(&block).unwrap(), 1.0),
    ];
    let left_out = [0.6875, 0.75, 0.8125, 0.916667, 0.666667, 0.722222];
    for (i, stated) in left_out.iter().enumerate() {
        let mut rest = block.clone();
        rest.remove(i);
        let met = merit(&rest, Against::Normals, Weight::Finding).unwrap();
        rows.push(six(format!("without {i}"), met, *stated));
    }
    hold("numpy 2.4.6", &rows);
}

#[test]
fn curves_of_a_block() {
    let points = curve(&block(), &[4, 3, 2, 1]).unwrap();
    let stated = [
        (0.0, 0.25, 0.0),
        (0.166667, 0.5, 0.0),
        (0.333333, 0.75, 0.333333),
        (0.833333, 0.75, 0.666667),
    ];
    let mut rows = Vec::new();
    for (point, (strays, found, normals)) in points.iter().zip(stated) {
        let at = point.confidence;
        rows.push(six(format!("{at} strays"), point.strays_a_picture, strays));
        rows.push(six(format!("{at} found"), point.found, found));
        rows.push(six(format!("{at} normals"), point.normals_marked.unwrap(), normals));
    }
    hold("numpy 2.4.6", &rows);
}
