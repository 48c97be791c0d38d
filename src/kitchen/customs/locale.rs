//! What the system's locale says of the customs of a country.

use super::{Customs, OvenDial};
use crate::kitchen::clock::Hours;
use crate::kitchen::units::Degrees;

/// Language and country for each kind of custom, as the variables of the
/// system name them (POSIX.1-2024, XBD 8.2: `LC_ALL` before the one of its
/// kind, that before `LANG`). Empty ones count as not set.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Locale {
    measurement: Tag,
    time: Tag,
    numeric: Tag,
}

/// `de_AT.UTF-8@euro` as language and country; both empty for `C` and `POSIX`.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
struct Tag {
    language: String,
    country: String,
}

/// Countries that take temperatures in °F: Unicode CLDR 48, supplemental
/// measurementData, `measurementSystem-category-temperature` and `US`.
const FAHRENHEIT: [&str; 6] = ["US", "BS", "BZ", "KY", "PR", "PW"];

/// Countries in which 12 hours with am and pm are preferred: Unicode CLDR 48,
/// supplemental timeData, `_preferred` of `h`, `hb` or `hB`.
const TWELVE_HOURS: &str = "AE AG AL AR AS AU BB BD BH BM BN BO BS BT CA CL CO CR CU CY DJ DM DO \
    DZ EC EG EH ER ET FJ FM GD GH GM GR GT GU GY HK HN IN IQ JM JO KH KI KN KP KR KW KY LB LC LR \
    LS LY MH MO MP MR MW MX MY NA NI NZ OM PA PE PG PH PK PR PS PW PY QA SA SB SD SG SL SO SS SV \
    SY SZ TC TD TN TO TT TW UM US UY VC VE VG VI VU WS YE ZM";

/// Languages that write a comma before the tenths, as in Unicode CLDR (through
/// Babel 2.19's tables), without those that few computers are set to.
const COMMA: &str = "af be bg bs ca cs da de el es et eu fi fo fr fy gl hr hu hy id is it ka kk \
    ky lb lt lv mk nb nl nn no pl pt rm ro ru sk sl sq sr sv tr uk uz vi";

/// Where those languages write a point all the same, from the same tables.
const POINT_IN: &str = "de_CH de_LI it_CH fr_RW es_SV es_PR es_HN es_PA es_US es_GT es_DO es_NI \
    es_CU es_PE es_MX es_BZ";

impl Locale {
    /// What the variables say; `var` gives the value of one.
    #[must_use]
    pub fn of(var: impl Fn(&str) -> Option<String>) -> Self {
        let pick = |kind: &str| {
            let named = ["LC_ALL", kind, "LANG"].into_iter();
            let value = named.filter_map(&var).find(|v| !v.is_empty());
            value.map_or_else(Tag::default, |v| Tag::of(&v))
        };
        Self {
            measurement: pick("LC_MEASUREMENT"),
            time: pick("LC_TIME"),
            numeric: pick("LC_NUMERIC"),
        }
    }

    /// The customs of the country; metric and 24 hours where nothing is known.
    #[must_use]
    pub fn customs(&self) -> Customs {
        let among = |list: &str, word: &str| list.split_whitespace().any(|w| w == word);
        let fahrenheit = FAHRENHEIT.contains(&self.measurement.country.as_str());
        let whole = format!("{}_{}", self.numeric.language, self.numeric.country);
        Customs {
            degrees: if fahrenheit { Degrees::Fahrenheit } else { Degrees::Celsius },
            oven: OvenDial::Plain,
            hours: match among(TWELVE_HOURS, &self.time.country) {
                true => Hours::Twelve,
                false => Hours::TwentyFour,
            },
            comma: among(COMMA, &self.numeric.language) && !among(POINT_IN, &whole),
        }
    }

    /// The country for measures, such as `GB`; empty if none is named.
    #[must_use]
    pub fn country(&self) -> &str {
        &self.measurement.country
    }
}

impl Tag {
    fn of(name: &str) -> Self {
        let plain = name.split(['.', '@']).next().unwrap_or_default();
        let mut parts = plain.split(['_', '-']);
        let language = parts.next().unwrap_or_default().to_lowercase();
        if matches!(language.as_str(), "c" | "posix") {
            return Self::default();
        }
        // A script may stand between the two: sr_Latn_RS.
        let country = parts.find(|p| p.len() == 2).unwrap_or_default().to_uppercase();
        Self { language, country }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn customs(vars: &[(&str, &str)]) -> Customs {
        let var = |name: &str| {
            vars.iter().find(|(n, _)| *n == name).map(|(_, value)| (*value).to_owned())
        };
        Locale::of(var).customs()
    }

    #[test]
    fn the_country_decides() {
        let us = customs(&[("LANG", "en_US.UTF-8")]);
        assert_eq!((us.degrees, us.hours, us.comma), (Degrees::Fahrenheit, Hours::Twelve, false));
        let gb = customs(&[("LANG", "en_GB.UTF-8")]);
        assert_eq!((gb.degrees, gb.hours, gb.comma), (Degrees::Celsius, Hours::TwentyFour, false));
        let au = customs(&[("LANG", "en_AU")]);
        assert_eq!((au.degrees, au.hours), (Degrees::Celsius, Hours::Twelve));
        let de = customs(&[("LANG", "de_DE.UTF-8@euro")]);
        assert_eq!((de.degrees, de.hours, de.comma), (Degrees::Celsius, Hours::TwentyFour, true));
        assert!(!customs(&[("LANG", "de_CH.UTF-8")]).comma);
        assert!(customs(&[("LANG", "sr_Latn_RS.UTF-8")]).comma);
        for none in ["C", "C.UTF-8", "POSIX", "", "x"] {
            assert_eq!(customs(&[("LANG", none)]), Customs::default(), "{none}");
        }
    }

    #[test]
    fn the_variable_of_its_kind_goes_before_lang_and_lc_all_before_both() {
        let mixed = [("LANG", "en_US.UTF-8"), ("LC_TIME", "sv_SE"), ("LC_MEASUREMENT", "")];
        let mixed = customs(&mixed);
        assert_eq!((mixed.degrees, mixed.hours), (Degrees::Fahrenheit, Hours::TwentyFour));
        let all = [("LANG", "en_US"), ("LC_TIME", "en_US"), ("LC_ALL", "fr_FR.UTF-8")];
        let all = customs(&all);
        assert_eq!(
            (all.degrees, all.hours, all.comma),
            (Degrees::Celsius, Hours::TwentyFour, true)
        );
    }
}
