//! Colours by role, read from one palette file; the only place where a role becomes a colour.

#[cfg(test)]
mod sight;

use crate::scene::{Shade, Tone};
use jarlight_model::{
    authored::{Spot, read_file},
    authored_record,
    diag::{Checked, Code, Diagnostic, Source},
};
use std::{collections::BTreeMap, sync::OnceLock};

macro_rules! roles {
    ($( $variant:ident $name:literal, )*) => {
        /// A material or a colour of the interface, by its name in the palette file.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Role { $(
            #[doc = concat!("`", $name, "` of the palette.")]
            $variant, )* }

        impl Role {
            /// All roles.
            pub const ALL: &'static [Self] = &[ $( Self::$variant, )* ];

            /// The name in the palette file.
            pub const fn name(self) -> &'static str {
                match self { $( Self::$variant => $name, )* }
            }
        }
    };
}

roles! {
    PositiveBorder "positive_border",
    PositivePaste "positive_paste",
    NegativeBorder "negative_border",
    NegativePaste "negative_paste",
    Separator "separator",
    SeparatorGrey "separator_grey",
    SeparatorRubber "separator_rubber",
    SeparatorWhite "separator_white",
    Mat "mat",
    LeadNegative "lead_negative",
    LeadPositive "lead_positive",
    LeadPositiveAir "lead_positive_air",
    Connector "connector",
    Cover "cover",
    Sediment "sediment",
    JarGlass "jar_glass",
    Electrolyte "electrolyte",
    GasSpace "gas_space",
    Seal "seal",
    Stone "stone",
    Plastic "plastic",
    Bolt "bolt",
    Copper "copper",
    Hanger "hanger",
    MossShield "moss_shield",
    EndSpacer "end_spacer",
    DustCap "dust_cap",
    RailCover "rail_cover",
    Rack "rack",
    Rubber "rubber",
    Room "room",
    Shadow "shadow",
    Sulfate "sulfate",
    LightSediment "light_sediment",
    GreySediment "grey_sediment",
    CopperFilm "copper_film",
    CopperSalt "copper_salt",
    WhiteSalt "white_salt",
    Creep "creep",
    Overcharged "overcharged",
    LightPositive "light_positive",
    DarkNegative "dark_negative",
    Hydration "hydration",
    Moss "moss",
    Rust "rust",
    HeatTint "heat_tint",
    AcidFilm "acid_film",
    Tint "tint",
    Dust "dust",
    InJar "in_jar",
    Page "page",
    Panel "panel",
    QuietPanel "quiet_panel",
    Ink "ink",
    SecondInk "second_ink",
    ThirdInk "third_ink",
    Rule "rule",
    Leader "leader",
    Accent "accent",
    AccentFill "accent_fill",
    OnAccent "on_accent",
    Caution "caution",
    CautionFill "caution_fill",
    Right "right",
    RightFill "right_fill",
    Wrong "wrong",
    WrongFill "wrong_fill",
}

impl Role {
    /// The role with this name.
    pub fn parse(name: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|r| r.name() == name)
    }
}

/// A colour with 8 bits a channel and its opacity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rgba {
    /// Red, green and blue.
    pub rgb: [u8; 3],
    /// Opacity, 0 to 1.
    pub alpha: f32,
}

/// Which theme a figure is drawn in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Theme {
    /// A bright room.
    #[default]
    Light,
    /// A dark room.
    Dark,
    /// White, black and hatch on white.
    ContrastLight,
    /// White, black and hatch on black.
    ContrastDark,
}

impl Theme {
    /// All themes.
    pub const ALL: [Self; 4] = [Self::Light, Self::Dark, Self::ContrastLight, Self::ContrastDark];

    /// The name in the palette file and on the command line.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Light => "light",
            Self::Dark => "dark",
            Self::ContrastLight => "contrast_light",
            Self::ContrastDark => "contrast_dark",
        }
    }

    /// True where the interface is dark.
    pub const fn is_dark(self) -> bool {
        matches!(self, Self::Dark | Self::ContrastDark)
    }
}

authored_record! {
    /// The palette file: per theme the colours that differ from the one it is based on.
    #[derive(Clone, Debug)]
    struct PaletteFile {
        format: Spot<u32>,
        light: BTreeMap<String, Vec<String>>,
        dark: BTreeMap<String, Vec<String>>,
        contrast_light: BTreeMap<String, Vec<String>>,
        contrast_dark: BTreeMap<String, Vec<String>>,
    }
}

/// The colours of one theme.
#[derive(Clone, Debug, PartialEq)]
pub struct Palette {
    /// Light, base, dark, edge for each role.
    values: Vec<[[u8; 3]; 4]>,
}

/// The palettes of all themes.
#[derive(Clone, Debug)]
pub struct Palettes {
    themes: Vec<Palette>,
}

const BUILTIN: &str = include_str!("../../../assets/theme/palette.ron");

impl Palettes {
    /// The palettes that the program carries with it.
    pub fn builtin() -> &'static Self {
        static PALETTES: OnceLock<Palettes> = OnceLock::new();
        PALETTES.get_or_init(|| {
            let source = Source::new("assets/theme/palette.ron", BUILTIN);
            Self::read(&source).value.unwrap_or_else(|| Self {
                themes: vec![Palette { values: vec![[[128; 3]; 4]; Role::ALL.len()] }; 4],
            })
        })
    }

    /// Reads a palette file. A role has one colour, or three (light, base, dark) and an edge.
    pub fn read(source: &Source) -> Checked<Self> {
        let read = read_file::<PaletteFile>(source);
        let mut found = read.diagnostics;
        let value = read.value.map(|file| {
            let mut themes = Vec::new();
            let light = theme(source, &file.light, None, &mut found);
            let dark = theme(source, &file.dark, Some(&light), &mut found);
            let contrast = theme(source, &file.contrast_light, Some(&light), &mut found);
            let inverse = theme(source, &file.contrast_dark, Some(&contrast), &mut found);
            themes.extend([light, dark, contrast, inverse]);
            Self { themes }
        });
        Checked { value, diagnostics: found }
    }

    /// The colours of a theme.
    pub fn theme(&self, theme: Theme) -> &Palette {
        &self.themes[theme as usize]
    }
}

fn theme(
    source: &Source,
    rows: &BTreeMap<String, Vec<String>>,
    base: Option<&Palette>,
    found: &mut Vec<Diagnostic>,
) -> Palette {
    let mut report = |word: &str, code, what: String| {
        let quoted = format!("\"{word}\"");
        let at = source.text().find(&quoted).map_or(0..0, |i| i..i + quoted.len());
        found.push(
            Diagnostic::new(code, source, at, what)
                .nearest(word, Role::ALL.iter().map(|r| r.name())),
        );
    };
    for name in rows.keys().filter(|n| Role::parse(n).is_none()) {
        report(name, Code::UnknownValue, format!("no role is called `{name}`"));
    }
    let values = Role::ALL
        .iter()
        .enumerate()
        .map(|(i, role)| {
            let Some(row) = rows.get(role.name()) else {
                return match base {
                    Some(base) => base.values[i],
                    None => {
                        let what = format!("the role `{}` has no colour", role.name());
                        report(role.name(), Code::MissingField, what);
                        [[128; 3]; 4]
                    }
                };
            };
            let colors: Vec<[u8; 3]> = row.iter().filter_map(|c| hex(c)).collect();
            match (colors.len(), row.len()) {
                (1, 1) => [colors[0]; 4],
                (2, 2) => [colors[0], colors[0], colors[0], colors[1]],
                (4, 4) => [colors[0], colors[1], colors[2], colors[3]],
                _ => {
                    let what = format!(
                        "`{}` needs one colour, two (body, edge) or four (light, base, dark, edge) \
                         as \"#RRGGBB\"",
                        role.name()
                    );
                    report(role.name(), Code::WrongType, what);
                    [[128; 3]; 4]
                }
            }
        })
        .collect();
    Palette { values }
}

fn hex(text: &str) -> Option<[u8; 3]> {
    let digits = text.strip_prefix('#').filter(|d| d.len() == 6)?;
    let n = u32::from_str_radix(digits, 16).ok()?;
    Some([(n >> 16) as u8, (n >> 8) as u8, n as u8])
}

impl Palette {
    /// One value of a role.
    pub fn color(&self, role: Role, tone: Tone) -> [u8; 3] {
        self.values[role as usize][tone as usize]
    }

    /// The colour of a shade.
    pub fn rgba(&self, shade: Shade) -> Rgba {
        let mut rgb = self.color(shade.role, shade.tone);
        if let Some((role, tone, share)) = shade.mix {
            let other = self.color(role, tone);
            for (a, b) in rgb.iter_mut().zip(other) {
                *a = (f32::from(*a) + (f32::from(b) - f32::from(*a)) * share.clamp(0.0, 1.0) + 0.5)
                    as u8;
            }
        }
        Rgba { rgb, alpha: shade.alpha.clamp(0.0, 1.0) }
    }
}

/// Contrast of two colours as the web guidelines define it, from 1 to 21.
///
/// # Source
/// WCAG 2.2, definitions of contrast ratio and relative luminance.
pub fn contrast(a: [u8; 3], b: [u8; 3]) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

fn luminance(rgb: [u8; 3]) -> f64 {
    let linear = |c: u8| {
        let c = f64::from(c) / 255.0;
        if c <= 0.04045 { c / 12.92 } else { libm::pow((c + 0.055) / 1.055, 2.4) }
    };
    0.2126 * linear(rgb[0]) + 0.7152 * linear(rgb[1]) + 0.0722 * linear(rgb[2])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_shipped_palette_is_sound() {
        let read = Palettes::read(&Source::new("assets/theme/palette.ron", BUILTIN));
        let text: String = read.diagnostics.iter().map(ToString::to_string).collect();
        assert!(read.diagnostics.is_empty(), "{text}");
    }

    /// Black on white is 21:1 by definition; #767676 on white is the known 4.54:1 grey.
    #[test]
    fn contrast_agrees_with_known_values() {
        assert!((contrast([0; 3], [255; 3]) - 21.0).abs() < 1e-9);
        assert!((contrast([0x76; 3], [255; 3]) - 4.54).abs() < 0.005);
    }

    #[test]
    fn every_text_of_the_interface_has_enough_contrast() {
        for theme in Theme::ALL {
            let p = Palettes::builtin().theme(theme);
            let c = |role| p.color(role, Tone::Base);
            for ground in [Role::Page, Role::Panel, Role::QuietPanel] {
                for ink in [
                    Role::Ink,
                    Role::SecondInk,
                    Role::ThirdInk,
                    Role::Accent,
                    Role::Caution,
                    Role::Right,
                    Role::Wrong,
                ] {
                    let ratio = contrast(c(ink), c(ground));
                    assert!(
                        ratio >= 4.5,
                        "{theme:?} {} on {}: {ratio:.2}",
                        ink.name(),
                        ground.name()
                    );
                }
                let leader = contrast(c(Role::Leader), c(ground));
                assert!(leader >= 3.0, "{theme:?} leader on {}: {leader:.2}", ground.name());
            }
            for (ink, fill) in [
                (Role::Accent, Role::AccentFill),
                (Role::Caution, Role::CautionFill),
                (Role::Right, Role::RightFill),
                (Role::Wrong, Role::WrongFill),
                (Role::OnAccent, Role::Accent),
            ] {
                let ratio = contrast(c(ink), c(fill));
                assert!(ratio >= 4.5, "{theme:?} {} on {}: {ratio:.2}", ink.name(), fill.name());
            }
        }
    }
}
