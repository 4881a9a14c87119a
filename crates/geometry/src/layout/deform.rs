//! What conditions do to the layout itself, before anything is drawn.

/// Changes of shape and level; the default is a healthy cell.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Deformation {
    /// Growth of the positives as a fraction of their height.
    pub growth: f64,
    /// How far the positive strap and posts have risen, in millimetres.
    pub post_lift: f64,
    /// Height of the liquid; between the lines when not given.
    pub liquid: Option<f64>,
    /// How far the cover has domed, in millimetres.
    pub cover_bulge: f64,
    /// How far positive edges bow out at mid height, in millimetres.
    pub bow: f64,
}
