//! How far apart two colours are for normal and for colour-blind eyes, and a test that holds the
//! palette against it.
//!
//! Colour blindness is simulated by the matrices of Machado, Oliveira and Fernandes at full
//! severity, on linear light. The difference is the distance in CAM02-UCS, a space in which equal
//! steps look about equally large; 1 is just seen side by side.
//!
//! # Source
//! - Machado, Oliveira, Fernandes: A physiologically-based model for simulation of color vision
//!   deficiency. IEEE Transactions on Visualization and Computer Graphics 15 (6), 2009, table 1.
//! - CIE 159:2004, A colour appearance model for colour management systems: CIECAM02.
//! - Luo, Cui, Li: Uniform colour spaces based on CIECAM02. Color Research and Application 31 (4),
//!   2006.
//! - IEC 61966-2-1: sRGB, and the lighting of its reference room (64 lx, average surround).

use super::{Palette, Palettes, Role, Theme};
use crate::{
    draw::{Options, Request, View, scene},
    scene::{Form, Tone},
};
use jarlight_model::{
    catalogue::Catalogue,
    design::SeparatorKind as Kind,
    id::Slug,
    specimen::{Occurrence, Specimen},
    unit::Severity,
};
use std::collections::BTreeSet;

type Matrix = [[f64; 3]; 3];

/// Whose eyes.
#[derive(Clone, Copy, Debug)]
enum Eyes {
    Normal,
    Protan,
    Deutan,
    Tritan,
    /// Any eyes, before a print without colour.
    Grey,
}

impl Eyes {
    const ALL: [Self; 5] = [Self::Normal, Self::Protan, Self::Deutan, Self::Tritan, Self::Grey];

    const fn matrix(self) -> Matrix {
        match self {
            Self::Normal => [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
            Self::Protan => [
                [0.152286, 1.052583, -0.204868],
                [0.114503, 0.786281, 0.099216],
                [-0.003882, -0.048116, 1.051998],
            ],
            Self::Deutan => [
                [0.367322, 0.860646, -0.227968],
                [0.280085, 0.672501, 0.047413],
                [-0.011820, 0.042940, 0.968881],
            ],
            Self::Tritan => [
                [1.255528, -0.076749, -0.178779],
                [-0.078411, 0.930809, 0.147602],
                [0.004733, 0.691367, 0.303900],
            ],
            Self::Grey => [[0.2126, 0.7152, 0.0722]; 3],
        }
    }
}

fn times(m: Matrix, v: [f64; 3]) -> [f64; 3] {
    m.map(|row| row[0] * v[0] + row[1] * v[1] + row[2] * v[2])
}

/// Light of each channel, 0 to 1.
fn linear(rgb: [u8; 3]) -> [f64; 3] {
    rgb.map(|c| {
        let c = f64::from(c) / 255.0;
        if c <= 0.04045 { c / 12.92 } else { libm::pow((c + 0.055) / 1.055, 2.4) }
    })
}

/// Tristimulus values for white = 100.
fn xyz(linear: [f64; 3]) -> [f64; 3] {
    const M: Matrix =
        [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]];
    times(M, linear).map(|v| 100.0 * v)
}

/// White, light of the adapting field, light of the background, in an average surround.
struct Room {
    white: [f64; 3],
    adapting: f64,
    background: f64,
}

/// The room that sRGB is made for: 64 lx on a grey of a fifth.
const SCREEN: Room = Room {
    white: [95.05, 100.0, 108.9],
    adapting: 64.0 / std::f64::consts::PI / 5.0,
    background: 20.0,
};

/// Lightness, colourfulness and hue angle in degrees.
#[derive(Clone, Copy, Debug)]
struct Look {
    lightness: f64,
    colourful: f64,
    hue: f64,
}

/// CIECAM02 forward, surround average (F = 1, c = 0.69, Nc = 1).
fn ciecam02(color: [f64; 3], room: &Room) -> Look {
    const CAT: Matrix =
        [[0.7328, 0.4296, -0.1624], [-0.7036, 1.6975, 0.0061], [0.0030, 0.0136, 0.9834]];
    const CAT_BACK: Matrix = [
        [1.096124, -0.278869, 0.182745],
        [0.454369, 0.473533, 0.072098],
        [-0.009628, -0.005698, 1.015326],
    ];
    const EYE: Matrix =
        [[0.38971, 0.68898, -0.07868], [-0.22981, 1.18340, 0.04641], [0.0, 0.0, 1.0]];
    const SURROUND: f64 = 0.69;
    let k = 1.0 / (5.0 * room.adapting + 1.0);
    let k4 = k * k * k * k;
    let level = 0.2 * k4 * 5.0 * room.adapting
        + 0.1 * (1.0 - k4) * (1.0 - k4) * libm::cbrt(5.0 * room.adapting);
    let n = room.background / room.white[1];
    let induction = 0.725 * libm::pow(1.0 / n, 0.2);
    let z = 1.48 + libm::sqrt(n);
    let adapted = 1.0 - libm::exp(-(room.adapting + 42.0) / 92.0) / 3.6;
    let white = times(CAT, room.white);
    let compress = |v: f64| {
        let p = libm::pow(level * v.abs() / 100.0, 0.42);
        (400.0 * p / (p + 27.13)).copysign(v) + 0.1
    };
    let respond = |color: [f64; 3]| {
        let cone = times(CAT, color);
        let turned: [f64; 3] =
            std::array::from_fn(|i| (room.white[1] * adapted / white[i] + 1.0 - adapted) * cone[i]);
        times(EYE, times(CAT_BACK, turned)).map(compress)
    };
    let achromatic = |[r, g, b]: [f64; 3]| (2.0 * r + g + b / 20.0 - 0.305) * induction;
    let [r, g, b] = respond(color);
    let red_green = r - 12.0 * g / 11.0 + b / 11.0;
    let yellow_blue = (r + g - 2.0 * b) / 9.0;
    let hue = libm::atan2(yellow_blue, red_green);
    let ratio = achromatic([r, g, b]) / achromatic(respond(room.white));
    let lightness = 100.0 * libm::pow(ratio.max(0.0), SURROUND * z);
    let eccentric = (libm::cos(hue + 2.0) + 3.8) / 4.0;
    let t = 50_000.0 / 13.0 * induction * eccentric * libm::hypot(red_green, yellow_blue)
        / (r + g + 21.0 / 20.0 * b);
    let chroma = libm::pow(t, 0.9)
        * libm::sqrt(lightness / 100.0)
        * libm::pow(1.64 - libm::pow(0.29, n), 0.73);
    Look {
        lightness,
        colourful: chroma * libm::pow(level, 0.25),
        hue: hue.to_degrees().rem_euclid(360.0),
    }
}

/// Place in CAM02-UCS.
fn uniform(look: Look) -> [f64; 3] {
    let m = libm::log(1.0 + 0.0228 * look.colourful) / 0.0228;
    let hue = look.hue.to_radians();
    [1.7 * look.lightness / (1.0 + 0.007 * look.lightness), m * libm::cos(hue), m * libm::sin(hue)]
}

/// How far two colours look apart to these eyes.
fn difference(a: [u8; 3], b: [u8; 3], eyes: Eyes) -> f64 {
    let place = |rgb| {
        let seen = times(eyes.matrix(), linear(rgb)).map(|v| v.clamp(0.0, 1.0));
        uniform(ciecam02(xyz(seen), &SCREEN))
    };
    let (p, q) = (place(a), place(b));
    libm::sqrt((0..3).map(|i| (p[i] - q[i]) * (p[i] - q[i])).sum())
}

/// The smallest difference over all eyes, and before a grey print.
fn hardest(a: [u8; 3], b: [u8; 3]) -> f64 {
    in_colour(a, b).min(difference(a, b, Eyes::Grey))
}

fn in_colour(a: [u8; 3], b: [u8; 3]) -> f64 {
    let eyes = Eyes::ALL.into_iter().filter(|e| !matches!(e, Eyes::Grey));
    eyes.map(|e| difference(a, b, e)).fold(f64::INFINITY, f64::min)
}

fn near(met: f64, wanted: f64, tolerance: f64) {
    assert!((met - wanted).abs() <= tolerance, "{met} is not {wanted}");
}

/// Source: CIE 159:2004, worked example of section 9 (first two), and Fairchild, Color Appearance
/// Models, table of example calculations (last two): h, J, M.
#[test]
fn appearance_agrees_with_published_examples() {
    let cases = [
        ([19.31, 23.93, 10.14], [98.88, 90.0, 32.03], 200.0, 18.0, [191.0452, 48.0314, 38.7789]),
        ([19.31, 23.93, 10.14], [98.88, 90.0, 32.03], 20.0, 18.0, [185.3445, 47.6856, 29.7580]),
        (
            [19.01, 20.0, 21.78],
            [95.05, 100.0, 108.88],
            318.30989,
            20.0,
            [219.04841, 41.73109, 0.10884],
        ),
        (
            [57.06, 43.06, 31.96],
            [95.05, 100.0, 108.88],
            31.830989,
            20.0,
            [19.55739, 65.95523, 41.67327],
        ),
    ];
    for (color, white, adapting, background, [hue, lightness, colourful]) in cases {
        let look = ciecam02(color, &Room { white, adapting, background });
        near(look.hue, hue, 0.02);
        near(look.lightness, lightness, 1e-3);
        near(look.colourful, colourful, 1e-3);
    }
}

/// Source: documentation of the library `colour` for Python, example of CAM02-UCS.
#[test]
fn the_uniform_space_agrees_with_a_published_example() {
    let look = Look { lightness: 41.73109113, colourful: 0.10884218, hue: 219.04843266 };
    let wanted = [54.90433134, -0.08442362, -0.06848314];
    for (met, wanted) in uniform(look).into_iter().zip(wanted) {
        near(met, wanted, 1e-7);
    }
}

/// White has lightness 100, in the units of the space 1.7 × 100 / 1.7 = 100, and since eyes do
/// not adapt fully to a screen, a trace of colour.
#[test]
fn white_and_black_are_the_ends() {
    for eyes in Eyes::ALL {
        near(difference([255; 3], [0; 3], eyes), 100.0, 0.05);
        near(difference([200, 30, 90], [200, 30, 90], eyes), 0.0, 1e-12);
    }
}

/// Grey stays grey to all eyes (rows add up to 1), and who has lost one of two cones sees in two
/// dimensions: the matrix has no volume. The published tritan matrix only shifts its cone.
#[test]
fn the_matrices_are_those_of_eyes() {
    for eyes in Eyes::ALL {
        let [a, b, c] = eyes.matrix();
        for row in [a, b, c] {
            near(row.iter().sum(), 1.0, 2e-6);
        }
        let volume = a[0] * (b[1] * c[2] - b[2] * c[1]) - a[1] * (b[0] * c[2] - b[2] * c[0])
            + a[2] * (b[0] * c[1] - b[1] * c[0]);
        let wanted = match eyes {
            Eyes::Normal => 1.0,
            Eyes::Protan | Eyes::Deutan | Eyes::Grey => 0.0,
            Eyes::Tritan => continue,
        };
        near(volume, wanted, 2e-5);
    }
    // A red and a green that only red-green eyes tell apart.
    let (red, green) = ([190, 90, 60], [110, 125, 50]);
    let seen = |e| difference(red, green, e);
    assert!(seen(Eyes::Normal) > 30.0 && seen(Eyes::Tritan) > 30.0);
    assert!(seen(Eyes::Deutan) < 0.5 * seen(Eyes::Normal));
}

/// Parts that touch each other; the outline of either stands between them.
const NEIGHBOURS: &[(Role, Role)] = {
    use Role::*;
    &[
        (PositiveBorder, NegativeBorder),
        (PositivePaste, NegativePaste),
        (PositiveBorder, Mat),
        (Separator, PositiveBorder),
        (Separator, NegativeBorder),
        (Separator, Mat),
        (SeparatorGrey, PositiveBorder),
        (SeparatorGrey, NegativeBorder),
        (SeparatorGrey, Mat),
        (SeparatorRubber, PositiveBorder),
        (SeparatorRubber, NegativeBorder),
        (SeparatorRubber, Mat),
        (SeparatorWhite, PositiveBorder),
        (SeparatorWhite, NegativeBorder),
        (SeparatorWhite, Mat),
        (Electrolyte, JarGlass),
        (Electrolyte, GasSpace),
        (Electrolyte, PositiveBorder),
        (Electrolyte, NegativeBorder),
        (Electrolyte, Separator),
        (Electrolyte, SeparatorGrey),
        (Electrolyte, SeparatorWhite),
        (Electrolyte, Mat),
        (Electrolyte, LeadPositive),
        (Electrolyte, LeadNegative),
        (Electrolyte, Sediment),
        (Electrolyte, EndSpacer),
        (GasSpace, JarGlass),
        (NegativeBorder, EndSpacer),
        (LeadPositive, LeadNegative),
        (LeadPositive, PositiveBorder),
        (LeadNegative, NegativeBorder),
        (Hanger, PositiveBorder),
        (Hanger, NegativeBorder),
        (MossShield, Separator),
        (MossShield, SeparatorWhite),
        (Cover, JarGlass),
        (Cover, GasSpace),
        (Cover, Seal),
        (Cover, LeadPositiveAir),
        (Cover, LeadNegative),
        (Cover, Stone),
        (Cover, Plastic),
        (Seal, LeadPositive),
        (Seal, LeadPositiveAir),
        (Seal, LeadNegative),
        (Stone, Plastic),
        (DustCap, Plastic),
        (DustCap, Stone),
        (Connector, LeadPositiveAir),
        (Connector, LeadNegative),
        (Connector, Bolt),
        (Copper, Connector),
        (Copper, LeadPositive),
        (Copper, LeadNegative),
        (Copper, Rubber),
        (JarGlass, RailCover),
        (RailCover, Rack),
        (Room, JarGlass),
        (Room, Rack),
        (Room, Connector),
        (Room, Cover),
    ]
};

/// What lies on a part, which only its own outline sets off.
const GROWTHS: &[(Role, Role)] = {
    use Role::*;
    &[
        (Sulfate, PositiveBorder),
        (Sulfate, PositivePaste),
        (Sulfate, NegativeBorder),
        (Sulfate, NegativePaste),
        (Sulfate, Electrolyte),
        (LightSediment, Sediment),
        (LightSediment, Electrolyte),
        (GreySediment, Sediment),
        (GreySediment, LightSediment),
        (GreySediment, Electrolyte),
        (CopperFilm, NegativeBorder),
        (CopperFilm, NegativePaste),
        (CopperSalt, Connector),
        (CopperSalt, LeadPositiveAir),
        (CopperSalt, LeadNegative),
        (CopperSalt, Cover),
        (WhiteSalt, Connector),
        (WhiteSalt, LeadPositiveAir),
        (WhiteSalt, LeadNegative),
        (WhiteSalt, Cover),
        (Creep, Cover),
        (Creep, Seal),
        (Creep, LeadPositive),
        (Overcharged, PositiveBorder),
        (LightPositive, PositiveBorder),
        (LightPositive, PositivePaste),
        (DarkNegative, NegativeBorder),
        (DarkNegative, NegativePaste),
        (Hydration, Separator),
        (Hydration, JarGlass),
        (Hydration, Electrolyte),
        (Hydration, NegativeBorder),
        (Hydration, PositiveBorder),
        (Moss, NegativeBorder),
        (Moss, LeadNegative),
        (Moss, Separator),
        (Moss, Mat),
        (Moss, MossShield),
        (Moss, Electrolyte),
        (Rust, Rack),
        (Rust, Bolt),
        (HeatTint, Connector),
        (HeatTint, Bolt),
        (AcidFilm, Cover),
        (AcidFilm, JarGlass),
        (AcidFilm, Connector),
        (Tint, Electrolyte),
        (Tint, GasSpace),
        (Dust, Cover),
        (Dust, Connector),
    ]
};

/// Below this two colours side by side are one colour.
const LEAST: f64 = 4.0;
/// Below this something else than colour has to tell two parts apart.
const ALONE: f64 = 15.0;

/// Roles whose edge tone is a line somewhere in the drawings of this specimen.
fn outlined() -> BTreeSet<Role> {
    let catalogue = Catalogue::builtin();
    let mut roles = BTreeSet::new();
    for design in catalogue.designs.values() {
        let mut worn = Specimen::healthy(Slug::parse(&design.id).unwrap());
        for condition in catalogue.conditions.iter().filter(|c| !c.overlay.is_empty()) {
            worn.occurrences.push(Occurrence {
                condition: condition.id.value.clone(),
                severity: Severity::new(0.5).unwrap(),
                place: None,
            });
        }
        for (view, kind) in [View::Edge, View::Face, View::Plan, View::Edge].into_iter().zip([
            Kind::Cream,
            Kind::Grey,
            Kind::Rubber,
            Kind::White,
        ]) {
            let mut design = design.clone();
            design.separator.kind = kind;
            let options = Options { broken_out: true, ..Options::default() };
            let specimen = &worn;
            let request =
                Request { catalogue, design: &design, specimen, view, px_per_mm: 2.0, options };
            for prim in scene(&request).unwrap().prims {
                if let Form::Path { stroke: Some(line), .. } = prim.form
                    && line.shade.tone == Tone::Edge
                {
                    roles.insert(line.shade.role);
                }
            }
        }
    }
    roles
}

/// The best line between two roles: the smaller of its differences from both bodies.
fn line_between(palette: &Palette, roles: [Role; 2], lined: &[Role]) -> f64 {
    let body = roles.map(|r| palette.color(r, Tone::Base));
    let edge = |r: &Role| {
        let line = palette.color(*r, Tone::Edge);
        hardest(line, body[0]).min(hardest(line, body[1]))
    };
    lined.iter().map(edge).fold(0.0, f64::max)
}

/// Colour sets two parts apart, or the line between them does. Even with a line two colours must
/// not be one, except in a grey print and in black and white.
#[test]
fn what_touches_is_told_apart_by_all_eyes_and_in_grey() {
    let drawn = outlined();
    let mut faults = Vec::new();
    for theme in Theme::ALL {
        let palette = Palettes::builtin().theme(theme);
        let two = NEIGHBOURS.iter().map(|(a, b)| (*a, *b, vec![*a, *b]));
        let one = GROWTHS.iter().map(|(a, b)| (*a, *b, vec![*a]));
        for (a, b, mut lined) in two.chain(one) {
            lined.retain(|r| drawn.contains(r));
            let (x, y) = (palette.color(a, Tone::Base), palette.color(b, Tone::Base));
            let (apart, colours) = (hardest(x, y), in_colour(x, y));
            let line = line_between(palette, [a, b], &lined);
            let contrast = matches!(theme, Theme::ContrastLight | Theme::ContrastDark);
            if apart < ALONE && (line < ALONE || (colours < LEAST && !contrast)) {
                faults.push(format!(
                    "{theme:?} {} on {}: {apart:.1}, line {line:.1}",
                    a.name(),
                    b.name()
                ));
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}
