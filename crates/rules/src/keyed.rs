//! A map of an authored file that keeps the place of every key.

use jarlight_model::{
    authored::{Authored, Kind, Node, Reader, Shape, Spot},
    diag::Code,
};

/// Pairs in the order of the file; a pair whose value could not be read has `None`.
#[derive(Clone, Debug, PartialEq)]
pub struct Keyed<T>(pub Vec<(Spot<String>, Option<T>)>);

impl<T> Default for Keyed<T> {
    fn default() -> Self {
        Self(Vec::new())
    }
}

impl<T> Keyed<T> {
    /// The pairs that could be read.
    pub fn iter(&self) -> impl Iterator<Item = (&Spot<String>, &T)> {
        self.0.iter().filter_map(|(k, v)| v.as_ref().map(|v| (k, v)))
    }
}

impl<T: Authored> Authored for Keyed<T> {
    fn read(node: &Node, cx: &mut Reader<'_>) -> Option<Self> {
        let Kind::Map(pairs) = &node.kind else {
            cx.mismatch(node, "a map in { }");
            return None;
        };
        let mut out: Vec<(Spot<String>, Option<T>)> = Vec::new();
        for (key, value) in pairs {
            let value = T::read(value, cx);
            let Some(key) = Spot::<String>::read(key, cx) else { continue };
            if out.iter().any(|(k, _)| k.value == key.value) {
                let what = format!("`{}` stands twice", key.value);
                cx.error(Code::RepeatedField, key.at.clone(), what);
            } else {
                out.push((key, value));
            }
        }
        Some(Self(out))
    }

    fn shape() -> Shape {
        Shape::Map(T::shape)
    }
}

/// A list in which one faulty entry does not hide the others.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Each<T>(pub Vec<T>);

impl<T: Authored> Authored for Each<T> {
    fn read(node: &Node, cx: &mut Reader<'_>) -> Option<Self> {
        let Kind::List(items) = &node.kind else {
            cx.mismatch(node, "a list in [ ]");
            return None;
        };
        Some(Self(items.iter().filter_map(|item| T::read(item, cx)).collect()))
    }

    fn shape() -> Shape {
        Shape::List(T::shape)
    }
}

/// A number from 0 to 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Probability(pub f64);

impl Authored for Probability {
    fn read(node: &Node, cx: &mut Reader<'_>) -> Option<Self> {
        let value = f64::read(node, cx)?;
        if (0.0..=1.0).contains(&value) {
            return Some(Self(value));
        }
        let what = format!("a probability must be from 0 to 1, met {value}");
        cx.error(Code::OutOfRange, node.at.clone(), what);
        None
    }

    fn shape() -> Shape {
        Shape::Number
    }
}

/// Chances of at most grade 0, 1, 2, …: never falling, at least two, the last one 1.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Cumulative(pub Vec<f64>);

impl Authored for Cumulative {
    fn read(node: &Node, cx: &mut Reader<'_>) -> Option<Self> {
        let (Kind::List(items) | Kind::Tuple(None, items)) = &node.kind else {
            cx.mismatch(node, "a cumulative row in [ ]");
            return None;
        };
        let row: Vec<Option<f64>> =
            items.iter().map(|item| Probability::read(item, cx).map(|p| p.0)).collect();
        let row: Vec<f64> = row.into_iter().collect::<Option<_>>()?;
        if row.len() < 2 {
            let what = "a row needs a number for grade 0 and for at least one grade more";
            cx.error(Code::WrongType, node.at.clone(), what);
            return None;
        }
        let mut sound = true;
        for (i, pair) in row.windows(2).enumerate() {
            if pair[1] < pair[0] {
                let what = format!(
                    "the row falls from {} at grade {i} to {} at grade {}",
                    pair[0],
                    pair[1],
                    i + 1
                );
                cx.error(Code::ProbabilityFalls, items[i + 1].at.clone(), what);
                sound = false;
            }
        }
        if let (Some(end), Some(item)) = (row.last(), items.last())
            && sound
            && (end - 1.0).abs() > crate::network::ROUNDING
        {
            let what = format!("a cumulative row ends at 1, met {end}");
            cx.error(Code::ProbabilityFalls, item.at.clone(), what);
            sound = false;
        }
        sound.then_some(Self(row))
    }

    fn shape() -> Shape {
        Shape::List(f64::shape)
    }
}
