//! A design: the dimensions and counts of one construction, as an instructor writes them.
//!
//! All lengths are in millimetres. Axes: x along the stack, y up from the inside floor, z away
//! from the aisle, origin at the inside left front bottom corner.

use crate::{
    authored::{Spot, read_file},
    authored_enum, authored_record,
    catalogue::Basis,
    diag::{Checked, Code, Diagnostic, Source},
    id::Slug,
};

authored_enum! {
    /// The kind of construction.
    #[derive(Clone, Copy, Debug, PartialEq, Eq)]
    pub enum Construction {
        /// Flat pasted positives.
        Pasted,
        /// Positives of tubes.
        Tubular,
        /// Pure-lead positives with fine ribs.
        Plante,
        /// Round plates that lie flat in a cylinder.
        RoundPlate,
    }

    /// The alloy or type that the priors of causes depend on.
    #[derive(Clone, Copy, Debug, PartialEq, Eq)]
    pub enum Alloy {
        /// Lead-calcium grids.
        LeadCalcium,
        /// Lead-antimony grids.
        LeadAntimony,
        /// Low-antimony (selenium) grids.
        LowAntimony,
        /// Tubular positives.
        Tubular,
        /// Planté positives.
        Plante,
        /// Pure-lead round plates.
        RoundPlate,
    }

    /// What carries the plates.
    #[derive(Clone, Copy, Debug, PartialEq, Eq)]
    pub enum Support {
        /// Both polarities stand on the bridge.
        Standing,
        /// Negatives stand on the bridge, positives hang from bars on their shoulders.
        HungPositives,
        /// All plates hang; there is no bridge.
        AllHung,
        /// A ring of the floor carries a stack that lies flat.
        Ring,
    }

    /// What closes the gap between post and cover.
    #[derive(Clone, Copy, Debug, PartialEq, Eq)]
    pub enum PostSeal {
        /// An O-ring pressed by a nut in a well.
        Nut,
        /// A soft sleeve in which the post may rise.
        Sliding,
        /// A well filled with compound.
        Potted,
    }

    /// The look of the separator material.
    #[derive(Clone, Copy, Debug, PartialEq, Eq)]
    pub enum SeparatorKind {
        /// Cream microporous sheet.
        Cream,
        /// Grey sheet.
        Grey,
        /// Black rubber.
        Rubber,
        /// White polyethylene.
        White,
    }

    /// What a bar between cells is made of.
    #[derive(Clone, Copy, Debug, PartialEq, Eq)]
    pub enum ConnectorMake {
        /// A stiff copper bar with a thin grey plating.
        PlatedBar,
        /// A stiff copper bar in a thick coat of lead.
        LeadCovered,
        /// A bundle of strands in an insulating sleeve, with a plated eye at each end.
        FlexibleInsulated,
    }

    /// Parts that a construction may or may not have.
    #[derive(Clone, Copy, Debug, PartialEq, Eq)]
    pub enum Feature {
        /// Perforated sheet on the separator tops.
        MossShield,
        /// Light strips on the vertical edges of the positives.
        EdgeInsulators,
        /// Perforated film round mat and positive.
        MatWrapper,
        /// Ledges for a sling on the jar.
        LiftPoints,
        /// A thermometer opening in the cover.
        TemperaturePort,
        /// Copper core in the posts.
        CopperInsert,
        /// Boards that fill the room at both ends of the stack.
        EndSpacers,
    }
}

authored_record! {
    /// Sizes of the plates.
    #[derive(Clone, Debug, PartialEq)]
    pub struct Plates {
        /// Number of positives; negatives are one more.
        pub positives: u32,
        /// Width along z.
        pub width: f64,
        /// Height along y.
        pub height: f64,
        /// Thickness of a positive.
        pub positive: f64,
        /// Thickness of an inside negative.
        pub inside_negative: f64,
        /// Thickness of an end negative.
        pub end_negative: f64,
    }

    /// The sheet between plates.
    #[derive(Clone, Debug, PartialEq)]
    pub struct Separator {
        /// Thickness with ribs.
        pub thickness: f64,
        /// Overhang above the plate top.
        pub above: f64,
        /// Overhang below the plate bottom.
        pub below: f64,
        /// Overhang at each vertical edge.
        pub side: f64,
        /// Its look.
        pub kind: SeparatorKind = SeparatorKind::Cream,
    }

    /// The box.
    #[derive(Clone, Debug, PartialEq)]
    pub struct Jar {
        /// Cells side by side in one jar.
        pub cells: u32 = 1,
        /// Thickness of the outer wall.
        pub wall: f64,
        /// Thickness of the floor.
        pub floor: f64,
        /// Thickness of the wall between two cells of one jar.
        pub partition: f64 = 0.0,
        /// Room between stack and wall at each end, along x.
        pub clearance_x: f64,
        /// Room between plate and wall, front and rear, along z.
        pub clearance_z: f64,
        /// Thickness of the cover.
        pub cover: f64,
    }

    /// Heights that add up from the inside floor to the cover.
    #[derive(Clone, Debug, PartialEq)]
    pub struct Heights {
        /// Height of the bridge, which is the clear sediment space.
        pub sediment: f64,
        /// Height of the plate feet.
        pub feet: f64,
        /// How much shorter than the negatives the hung positives are at the foot.
        pub hung_short: f64 = 0.0,
        /// Exposed lug between plate top and strap.
        pub lug: f64,
        /// Thickness of the strap.
        pub strap: f64,
        /// Low line above the strap.
        pub low_over: f64,
        /// From the low to the high line.
        pub span: f64,
        /// Gas space from the high line to the cover.
        pub head: f64,
    }

    /// The posts.
    #[derive(Clone, Debug, PartialEq)]
    pub struct Posts {
        /// Posts of each polarity.
        pub each: u32,
        /// Diameter.
        pub diameter: f64,
        /// Height above the cover.
        pub above: f64,
        /// What closes the gap to the cover.
        pub seal: PostSeal,
    }

    /// The ribs under the plates.
    #[derive(Clone, Debug, PartialEq)]
    pub struct Bridge {
        /// Number of ribs; 0 where all plates hang.
        pub ribs: u32,
        /// Width of a rib along z.
        pub width: f64,
    }

    /// The bars between cells.
    #[derive(Clone, Debug, PartialEq)]
    pub struct Connector {
        /// Height of the bar.
        pub width: f64,
        /// Thickness of the bar.
        pub thickness: f64,
        /// Bars at each post: one, or one on each side.
        pub bars: u32,
        /// What it is made of.
        pub make: ConnectorMake = ConnectorMake::PlatedBar,
    }

    /// The flame arrestor and its funnel.
    #[derive(Clone, Debug, PartialEq)]
    pub struct Arrestor {
        /// Diameter of the stone.
        pub diameter: f64,
        /// Height over the cover, funnel included.
        pub height: f64,
        /// Funnel through the stone.
        pub funnel: Option<Funnel> = None,
    }

    /// The filling funnel.
    #[derive(Clone, Debug, PartialEq)]
    pub struct Funnel {
        /// Diameter of the rim.
        pub rim: f64,
        /// Diameter of the stem.
        pub stem: f64,
    }

    /// Tubes for drawing a sample.
    #[derive(Clone, Debug, PartialEq)]
    pub struct Tubes {
        /// One in the rear right corner, a second one front left.
        pub count: u32,
        /// Outer diameter.
        pub diameter: f64,
    }

    /// The tubes of a tubular positive.
    #[derive(Clone, Debug, PartialEq)]
    pub struct TubularPlate {
        /// Tubes in one plate.
        pub tubes: u32,
        /// From tube to tube.
        pub pitch: f64,
        /// Outer diameter of the sleeve.
        pub diameter: f64,
        /// Diameter of the spine.
        pub spine: f64,
        /// Height of the closing bar at the bottom.
        pub bottom_bar: f64,
    }

    /// The ribbed face of a Planté positive.
    #[derive(Clone, Debug, PartialEq)]
    pub struct PlantePlate {
        /// From rib to rib.
        pub pitch: f64,
        /// Depth of the ribs on each face.
        pub depth: f64,
        /// Thickness of the web between the faces.
        pub web: f64,
    }

    /// A stack of round plates that lie flat.
    #[derive(Clone, Debug, PartialEq)]
    pub struct RoundStack {
        /// Inside diameter of the jar.
        pub jar_diameter: f64,
        /// Diameter of the plates.
        pub plate_diameter: f64,
        /// Distance of the negative riser from the axis.
        pub riser_at: f64,
        /// Width of the negative riser.
        pub riser_width: f64,
        /// Distance of the negative post and of the vent from the axis.
        pub post_at: f64,
    }

    /// The dimensions and counts of one construction.
    #[derive(Clone, Debug, PartialEq)]
    pub struct Design {
        /// Format of the file; 1.
        pub format: Spot<u32>,
        /// Its id.
        pub id: Slug,
        /// Its name.
        pub name: String,
        /// The kind of construction.
        pub construction: Construction,
        /// The type that priors depend on.
        pub alloy: Alloy,
        /// What carries the plates.
        pub support: Support,
        /// Ampere-hours that one positive gives.
        pub ah_per_positive: f64,
        /// Specific gravity at full charge, 25 °C.
        pub specific_gravity: f64,
        /// Sizes of the plates.
        pub plates: Plates,
        /// The sheet between plates.
        pub separator: Separator,
        /// Thickness of the mat against each positive face; 0 where there is none.
        pub mat: f64,
        /// The box.
        pub jar: Jar,
        /// Heights from the floor up.
        pub heights: Heights,
        /// The posts.
        pub posts: Posts,
        /// The ribs under the plates.
        pub bridge: Bridge,
        /// The bars between cells.
        pub connector: Connector,
        /// The flame arrestor.
        pub arrestor: Arrestor,
        /// Tubes for drawing a sample.
        pub tubes: Option<Tubes> = None,
        /// Parts that this construction has besides.
        pub features: Vec<Feature> = Vec::new(),
        /// The tubes of a tubular positive.
        pub tubular: Option<TubularPlate> = None,
        /// The ribs of a Planté positive.
        pub plante: Option<PlantePlate> = None,
        /// The flat stack of a round-plate cell.
        pub round: Option<RoundStack> = None,
        /// Where the dimensions come from.
        pub basis: Basis,
    }
}

impl Design {
    /// Reads a design file; whether it can be built is for the layout to say.
    pub fn read(source: &Source) -> Checked<Self> {
        let mut read = read_file::<Self>(source);
        if let Some(d) = &read.value
            && d.format.value != 1
        {
            read.diagnostics.push(unknown_format(source, &d.format));
        }
        read
    }

    /// True when the construction has this feature.
    pub fn has(&self, feature: Feature) -> bool {
        self.features.contains(&feature)
    }

    /// Rated ampere-hours: those of one positive times their number.
    pub fn rated_ah(&self) -> f64 {
        self.ah_per_positive * f64::from(self.plates.positives)
    }
}

/// The diagnostic for a format number that this program does not know.
pub fn unknown_format(source: &Source, format: &Spot<u32>) -> Diagnostic {
    let what = format!("format {} is not known; this program reads format 1", format.value);
    Diagnostic::new(Code::UnknownFormat, source, format.at.clone(), what)
        .help("write `format: 1`, or use a newer Jarlight")
}
