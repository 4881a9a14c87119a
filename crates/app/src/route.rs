//! Which page is shown.

/// A page of the window; only pages that exist have an entry in the bar.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Route {
    /// Where one begins.
    Start,
    /// The cell, part by part.
    Study,
    /// Conditions and look-alikes, one by one.
    Atlas,
    /// Photographs with their regions.
    Photo,
    /// The list of scenarios.
    Questions,
    /// From findings to causes.
    Reasoning,
    /// A run through one.
    Run,
    /// Where an instructor writes.
    Workshop,
    /// A run through what is being written.
    Trial,
    /// Pages for a room.
    Present,
}

impl Route {
    /// The pages in the bar.
    pub const BAR: [Self; 5] =
        [Self::Study, Self::Atlas, Self::Questions, Self::Reasoning, Self::Workshop];

    /// Id of its name in the message file.
    pub const fn text_id(self) -> &'static str {
        match self {
            Self::Start => "page-start",
            Self::Present => "present-go",
            Self::Study => "page-study",
            Self::Atlas => "page-atlas",
            Self::Reasoning => "page-reasoning",
            Self::Photo => "page-photo",
            Self::Questions | Self::Run => "page-questions",
            Self::Workshop | Self::Trial => "page-workshop",
        }
    }

    /// Whether an entry of the bar stands for this page.
    pub fn is_under(self, entry: Self) -> bool {
        self == entry
            || matches!((self, entry), (Self::Run, Self::Questions) | (Self::Trial, Self::Workshop))
    }
}
