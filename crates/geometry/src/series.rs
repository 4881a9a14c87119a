//! A string of cells: which jar is turned, and which post is joined to which.

use crate::layout::{Layout, Post};

/// Room between neighbouring jars, filled by a spacer.
pub const BETWEEN: f64 = 8.0;

/// One post of one jar of a string.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct PostOf {
    /// Jar, in the order of the string from 0.
    pub jar: usize,
    /// Post within the jar.
    pub post: usize,
}

/// A connector from a positive to a negative post of neighbouring jars.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Joint {
    /// The negative post of the jar that comes first in the string.
    pub minus: PostOf,
    /// The positive post of the next one.
    pub plus: PostOf,
    /// Whether the bar runs on the aisle side.
    pub front: bool,
}

/// A string on one tier.
#[derive(Clone, Debug)]
pub struct Series {
    /// Jars in the order of the string.
    pub jars: Vec<Layout>,
    /// Left edge of each jar's inside room.
    pub x: Vec<f64>,
    /// The connectors.
    pub joints: Vec<Joint>,
    /// Positive posts of the first jar, which a terminal plate takes.
    pub first: Vec<PostOf>,
    /// Negative posts of the last jar, which a terminal plate takes.
    pub last: Vec<PostOf>,
}

/// Which way the string runs along the tier.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Run {
    /// First jar on the left.
    LeftToRight,
    /// First jar on the right.
    RightToLeft,
}

/// All posts of a jar.
pub fn posts(jar: &Layout) -> Vec<&Post> {
    jar.cells.iter().flat_map(|c| &c.posts).collect()
}

impl Series {
    /// Puts jars side by side, every second one turned where that brings posts in line, and
    /// joins them.
    pub fn new(jars: Vec<Layout>, run: Run) -> Self {
        let n = jars.len();
        // Seen from the aisle a jar that is not turned has its positive on the left, so a
        // string that runs to the left begins with a turned one.
        let odd = usize::from(run == Run::LeftToRight);
        // The positive of a round-plate cell stands on the axis: all point the same way.
        let turn = |i: usize, jar: &Layout| {
            if jar.design.round.is_none() && jar.turns_in_row() {
                i % 2 == odd
            } else {
                run == Run::RightToLeft
            }
        };
        let jars: Vec<Layout> = jars
            .into_iter()
            .enumerate()
            .map(|(i, jar)| if turn(i, &jar) { jar.turned() } else { jar })
            .collect();
        let pitch = jars.first().map_or(0.0, |j| j.outer_x) + BETWEEN;
        let x = (0..n)
            .map(|i| pitch * if run == Run::LeftToRight { i } else { n - 1 - i } as f64)
            .collect();
        let of = |jar: usize, positive: bool| -> Vec<PostOf> {
            let mut list: Vec<(f64, PostOf)> = jars.get(jar).map_or_else(Vec::new, |layout| {
                posts(layout)
                    .iter()
                    .enumerate()
                    .filter(|(_, p)| p.positive == positive)
                    .map(|(post, p)| (p.x, PostOf { jar, post }))
                    .collect()
            });
            list.sort_by(|a, b| a.0.total_cmp(&b.0));
            list.into_iter().map(|(_, p)| p).collect()
        };
        let mut joints = Vec::new();
        for i in 1..n {
            for (minus, plus) in of(i - 1, false).into_iter().zip(of(i, true)) {
                let z = posts(&jars[minus.jar])[minus.post].z;
                let front = z < jars[minus.jar].inner_z / 2.0;
                joints.push(Joint { minus, plus, front });
            }
        }
        let first = of(0, true);
        let last = of(n.saturating_sub(1), false);
        Self { jars, x, joints, first, last }
    }

    /// A post with its place along the tier.
    pub fn post(&self, of: PostOf) -> (f64, &Post) {
        let post = posts(&self.jars[of.jar])[of.post];
        (self.x[of.jar] + post.x, post)
    }

    /// From jar to jar.
    pub fn pitch(&self) -> f64 {
        self.jars.first().map_or(0.0, |j| j.outer_x) + BETWEEN
    }
}
