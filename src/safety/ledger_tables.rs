//! Every figure of every built-in profile, written out a second time from the
//! sources named beside them.
//!
//! - FC22: FDA Food Code 2022, chapter 3.
//! - CfG: USDA FSIS, Cooking for Groups, 2011 revision.
//! - SMIT: USDA FSIS, Safe Minimum Internal Temperature Chart, June 2012.
//! - June 2016: a USDA Deputy Under Secretary's statement, read in a copy.
//! - Illinois: FSIS advice relayed by University of Illinois Extension.
//! - The others are named in their tables. V1: read in the issuing document;
//!   V2: read in another published page; M: from memory, not seen in a text.

use super::figure::Seen;

/// A value in the unit of its document.
#[derive(Clone, Copy)]
pub(super) enum Is {
    F(f64),
    C(f64),
    Plain(f64),
}
use Is::{C, F, Plain};

/// Name, value, what the document's title contains, clause, how far it was verified.
pub(super) type Row = (&'static str, Is, &'static str, &'static str, Seen);

const V1: Seen = Seen::IssuingDocument;
const V2: Seen = Seen::AnotherPublishedPage;
const M: Seen = Seen::FromMemory;

pub(super) const CONSUMER: &[Row] = &[
    ("hot_hold_least", F(140.0), "Cooking for Groups", "pages 22-25", V1),
    ("cold_hold_most", F(40.0), "Cooking for Groups", "pages 23-25", V1),
    // June 2016: two hours in all, one hour when it is above 90 °F (32 °C).
    ("rule.two_hours.most", Plain(120.0), "Deputy Under Secretary", "room temperature limit", V2),
    ("hot_day.above", C(32.0), "Deputy Under Secretary", "hot day", V2),
    ("hot_day.most", Plain(60.0), "Deputy Under Secretary", "hot day", V2),
    // Illinois: refrigerate within two hours of serving; use within 3-4 days.
    ("cooling[0].within", Plain(120.0), "Illinois Extension", "refrigerating leftovers", V2),
    ("reheat.least", F(165.0), "Minimum Internal", "leftovers", V1),
    // SMIT: the chart's rows.
    ("least_inner.poultry", F(165.0), "Minimum Internal", "all poultry", V1),
    ("least_inner.ground_meat", F(160.0), "Minimum Internal", "ground meats", V1),
    ("least_inner.whole_meat", F(145.0), "Minimum Internal", "beef, pork, veal, lamb", V1),
    ("least_inner.whole_meat.rest", Plain(3.0), "Minimum Internal", "beef, pork, veal, lamb", V1),
    ("least_inner.fish", F(145.0), "Minimum Internal", "fish and shellfish", V1),
    ("least_inner.egg_dish", F(160.0), "Minimum Internal", "eggs", V1),
    ("least_inner.casserole", F(165.0), "Minimum Internal", "leftovers and casseroles", V1),
    ("least_inner.leftovers", F(165.0), "Minimum Internal", "leftovers and casseroles", V1),
    ("leftovers.most", Plain(3.0), "Illinois Extension", "keeping leftovers", V2),
    // Of the sheet on thawing only what other pages say was read.
    ("thawing.fridge.minutes_per_kg", Plain(794.0), "Big Thaw", "refrigerator thawing", M),
    ("thawing.cold_water.change_every", Plain(30.0), "extension pages", "cold water thawing", V2),
];

const FC: &str = "FDA Food Code 2022";
pub(super) const FOOD_CODE: &[Row] = &[
    // FC22 3-501.16: hot 135 °F (57 °C) or above, cold 41 °F (5 °C) or less.
    ("hot_hold_least", F(135.0), FC, "3-501.16(A)(1)", V1),
    ("cold_hold_most", F(41.0), FC, "3-501.16(A)(2)", V1),
    // FC22 3-501.19(B): 4 hours from 41 °F or less, or from 135 °F or more.
    ("rule.four_hours.most", Plain(240.0), FC, "3-501.19(B)", V1),
    ("rule.four_hours.start_cold_most", F(41.0), FC, "3-501.19(B)", V1),
    ("rule.four_hours.start_hot_least", F(135.0), FC, "3-501.19(B)", V1),
    // FC22 3-501.19(C): 6 hours from 41 °F or less, never above 70 °F (21 °C).
    ("rule.six_hours_cold.most", Plain(360.0), FC, "3-501.19(C)", V1),
    ("rule.six_hours_cold.start_cold_most", F(41.0), FC, "3-501.19(C)", V1),
    ("rule.six_hours_cold.stay_most", F(70.0), FC, "3-501.19(C)", V1),
    // FC22 3-501.14: 135 -> 70 °F in 2 h, 135 -> 41 °F in 6 h in all; (B) 4 h.
    ("cooling[0].start", F(135.0), FC, "3-501.14(A)", V1),
    ("cooling[0].to", F(70.0), FC, "3-501.14(A)(1)", V1),
    ("cooling[0].within", Plain(120.0), FC, "3-501.14(A)(1)", V1),
    ("cooling[1].start", F(135.0), FC, "3-501.14(A)", V1),
    ("cooling[1].to", F(41.0), FC, "3-501.14(A)(2)", V1),
    ("cooling[1].within", Plain(360.0), FC, "3-501.14(A)(2)", V1),
    ("cooling[2].to", F(41.0), FC, "3-501.14(B)", V1),
    ("cooling[2].within", Plain(240.0), FC, "3-501.14(B)", V1),
    // FC22 3-403.11: 165 °F (74 °C) for 15 s, within 2 hours.
    ("reheat.least", F(165.0), FC, "3-403.11(A)", V1),
    ("reheat.hold", Plain(15.0), FC, "3-403.11(A)", V1),
    ("reheat.within", Plain(120.0), FC, "3-403.11(D)", V1),
    ("reheat.microwave_stand", Plain(2.0), FC, "3-403.11(B)", V1),
    // FC22 3-401.11(A)(1): 145 °F (63 °C) 15 s; (2): 155 °F (68 °C) 17 s;
    // (3): 165 °F (74 °C) at once; 3-401.13: plant food 135 °F (57 °C).
    ("least_inner.poultry", F(165.0), FC, "3-401.11(A)(3)", V1),
    ("least_inner.ground_meat", F(155.0), FC, "3-401.11(A)(2)", V1),
    ("least_inner.ground_meat.hold", Plain(17.0), FC, "3-401.11(A)(2)", V1),
    ("least_inner.whole_meat", F(145.0), FC, "3-401.11(A)(1)", V1),
    ("least_inner.whole_meat.hold", Plain(15.0), FC, "3-401.11(A)(1)", V1),
    ("least_inner.fish", F(145.0), FC, "3-401.11(A)(1)", V1),
    ("least_inner.fish.hold", Plain(15.0), FC, "3-401.11(A)(1)", V1),
    ("least_inner.egg_dish", F(155.0), FC, "3-401.11(A)(2)", V1),
    ("least_inner.egg_dish.hold", Plain(17.0), FC, "3-401.11(A)(2)", V1),
    ("least_inner.casserole", F(165.0), FC, "3-401.11(A)(3)", V1),
    ("least_inner.cooked_plant", F(135.0), FC, "3-401.13", V1),
    ("least_inner.leftovers", F(165.0), FC, "3-403.11(A)", V1),
    ("least_inner.leftovers.hold", Plain(15.0), FC, "3-403.11(A)", V1),
    // FC22 3-501.17(A): 7 days at 41 °F, the day it is made is day 1.
    ("leftovers.most", Plain(7.0), FC, "3-501.17(A)", V1),
    // FC22 3-501.13: at 41 °F or less; under water of 70 °F or less, 4 h above 41 °F.
    ("thawing.fridge.food_most", F(41.0), FC, "3-501.13", V1),
    ("thawing.cold_water.water_most", F(70.0), FC, "3-501.13", V1),
    ("thawing.cold_water.most", Plain(240.0), FC, "3-501.13", V1),
];

const WALES: &str = "Wales) Regulations 2006";
const FSA_COOK: &str = "Food Standards Agency advice on cooking";
const COOK_2_MIN: &str = "70 °C for 2 minutes or the like";
pub(super) const UK: &[Row] = &[
    // Wales 2006, Schedule 4: hot food below 63 °C, less than 2 h, once.
    ("hot_hold_least", C(63.0), WALES, "Schedule 4 paragraph 6", V1),
    ("rule.two_hours_once.most", Plain(120.0), WALES, "Schedule 4 paragraph 7", V1),
    // England 2013, Schedule 4 paragraph 2: above 8 °C; Northern Ireland 2006,
    // paragraph 5: less than 4 h, once.
    ("cold_hold_most", C(8.0), "(England) Regulations 2013", "Schedule 4 paragraph 2", V1),
    ("rule.four_hours_cold_once.most", Plain(240.0), "Ireland) 2006", "Schedule 4 paragraph 5", V1),
    (
        "rule.four_hours_cold_once.start_cold_most",
        C(8.0),
        "(England) Regulations 2013",
        "Schedule 4 paragraph 2",
        V1,
    ),
    // A lesson that follows the agency's words: in the fridge within 1-2 h, 2 days, rice 1 day.
    ("cooling[0].within", Plain(60.0), "food hygiene lesson", "leftovers", V2),
    ("leftovers.most", Plain(2.0), "food hygiene lesson", "leftovers", V2),
    ("leftovers.cooked_plant", Plain(1.0), "food hygiene lesson", "leftovers", V2),
    // The agency's equivalents, in a copy: 70 °C for 2 min.
    ("reheat.least", C(70.0), FSA_COOK, COOK_2_MIN, V2),
    ("reheat.hold", Plain(120.0), FSA_COOK, COOK_2_MIN, V2),
    ("reheat.elsewhere", C(82.0), "Scottish regulations", "reheating", V2),
    ("least_inner.poultry", C(70.0), FSA_COOK, COOK_2_MIN, V2),
    ("least_inner.poultry.hold", Plain(120.0), FSA_COOK, COOK_2_MIN, V2),
    ("least_inner.ground_meat", C(70.0), FSA_COOK, COOK_2_MIN, V2),
    ("least_inner.ground_meat.hold", Plain(120.0), FSA_COOK, COOK_2_MIN, V2),
    ("least_inner.whole_meat", C(70.0), FSA_COOK, COOK_2_MIN, V2),
    ("least_inner.whole_meat.hold", Plain(120.0), FSA_COOK, COOK_2_MIN, V2),
    ("least_inner.fish", C(70.0), FSA_COOK, COOK_2_MIN, V2),
    ("least_inner.fish.hold", Plain(120.0), FSA_COOK, COOK_2_MIN, V2),
    ("least_inner.egg_dish", C(70.0), FSA_COOK, COOK_2_MIN, V2),
    ("least_inner.egg_dish.hold", Plain(120.0), FSA_COOK, COOK_2_MIN, V2),
    ("least_inner.casserole", C(70.0), FSA_COOK, COOK_2_MIN, V2),
    ("least_inner.casserole.hold", Plain(120.0), FSA_COOK, COOK_2_MIN, V2),
    ("least_inner.leftovers", C(70.0), FSA_COOK, COOK_2_MIN, V2),
    ("least_inner.leftovers.hold", Plain(120.0), FSA_COOK, COOK_2_MIN, V2),
    ("thawing.fridge.use_within", Plain(1440.0), "consumer advice", "defrosting", M),
];

const RULE_24: &str = "2 hour / 4 hour rule";
const ACT: &str = "Standard 3.2.2";
const AU_USUAL: &str = "usual Australian advice";
pub(super) const AUSTRALIA: &[Row] = &[
    // FSANZ fact sheet: 5 °C or colder, 60 °C or hotter.
    ("hot_hold_least", C(60.0), "FSANZ fact sheet", "safe temperatures", V1),
    ("cold_hold_most", C(5.0), "FSANZ fact sheet", "safe temperatures", V1),
    ("rule.two_four_hours.most", Plain(240.0), "NSW Food Authority", RULE_24, V1),
    ("rule.two_four_hours.rechill_within", Plain(120.0), "NSW Food Authority", RULE_24, V1),
    // Standard 3.2.2 clause 7(3): 60 -> 21 °C in 2 h, 21 -> 5 °C in a further 4 h.
    ("cooling[0].start", C(60.0), ACT, "clause 7(3)", V2),
    ("cooling[0].to", C(21.0), ACT, "clause 7(3)", V2),
    ("cooling[0].within", Plain(120.0), ACT, "clause 7(3)", V2),
    ("cooling[1].start", C(21.0), ACT, "clause 7(3)", V2),
    ("cooling[1].to", C(5.0), ACT, "clause 7(3)", V2),
    ("cooling[1].within", Plain(240.0), ACT, "clause 7(3)", V2),
    ("reheat.least", C(75.0), "Food Safety Information Council", "reheating", V2),
    ("least_inner.poultry", C(75.0), AU_USUAL, "cooking temperatures", M),
    ("least_inner.ground_meat", C(75.0), AU_USUAL, "cooking temperatures", M),
    ("least_inner.egg_dish", C(75.0), AU_USUAL, "cooking temperatures", M),
    ("least_inner.casserole", C(75.0), AU_USUAL, "cooking temperatures", M),
    ("least_inner.leftovers", C(75.0), "Food Safety Information Council", "reheating", V2),
    ("leftovers.most", Plain(2.0), "Food Safety Information Council", "leftovers", V2),
];

const MPI: &str = "Ministry for Primary Industries";
const NZ_USUAL: &str = "usual New Zealand advice";
pub(super) const NEW_ZEALAND: &[Row] = &[
    // From memory 60 °C; the strictest figure that was read is the UK's.
    ("hot_hold_least", C(63.0), NZ_USUAL, "hot holding", M),
    ("cold_hold_most", C(5.0), MPI, "fridge", V2),
    ("rule.two_four_hours.most", Plain(240.0), MPI, "leftovers", V2),
    ("rule.two_four_hours.rechill_within", Plain(120.0), MPI, "leftovers", V2),
    ("cooling[0].within", Plain(120.0), MPI, "leftovers", V2),
    ("reheat.least", C(75.0), NZ_USUAL, "reheating", M),
    ("least_inner.poultry", C(75.0), NZ_USUAL, "cooking temperatures", M),
    ("least_inner.ground_meat", C(75.0), NZ_USUAL, "cooking temperatures", M),
    ("least_inner.egg_dish", C(75.0), NZ_USUAL, "cooking temperatures", M),
    ("least_inner.casserole", C(75.0), NZ_USUAL, "cooking temperatures", M),
    ("least_inner.leftovers", C(75.0), NZ_USUAL, "cooking temperatures", M),
    ("leftovers.most", Plain(2.0), MPI, "leftovers", V2),
];

const NOTICE: &str = "notice RA-25979";
const ZONE: &str = "danger zone 4 to 60 °C";
const YORK: &str = "sheet provided by Health Canada";
pub(super) const CANADA: &[Row] = &[
    // Health Canada, 12 March 2013: 4 to 60 °C, discard after 2 h.
    ("hot_hold_least", C(60.0), NOTICE, ZONE, V1),
    ("cold_hold_most", C(4.0), NOTICE, ZONE, V1),
    ("rule.two_hours.most", Plain(120.0), NOTICE, "2 hour limit", V1),
    ("hot_day.above", C(32.0), "usual Canadian advice", "hot day", M),
    ("hot_day.most", Plain(60.0), "usual Canadian advice", "hot day", M),
    // Health Canada, 10 October 2014: in the fridge within 2 h; 2-4 days.
    ("cooling[0].within", Plain(120.0), "Health Canada release", "leftovers", V1),
    ("leftovers.most", Plain(2.0), "Health Canada release", "leftovers", V1),
    // The chart: where a class covers two rows, the higher.
    ("reheat.least", C(74.0), YORK, "leftovers", V2),
    ("least_inner.poultry", C(74.0), YORK, "poultry parts", V2),
    ("least_inner.poultry.whole", C(82.0), "Ontario text", "whole poultry", V2),
    ("least_inner.ground_meat", C(74.0), YORK, "ground poultry", V2),
    ("least_inner.whole_meat", C(71.0), YORK, "pork", V2),
    ("least_inner.fish", C(74.0), YORK, "shellfish", V2),
    ("least_inner.egg_dish", C(74.0), YORK, "egg dishes", V2),
    ("least_inner.casserole", C(74.0), YORK, "leftovers", V2),
    ("least_inner.leftovers", C(74.0), YORK, "leftovers", V2),
];

/// Every profile with its table.
pub(super) const ALL: [(&str, &[Row]); 6] = [
    ("us_consumer", CONSUMER),
    ("us_food_code_2022", FOOD_CODE),
    ("uk", UK),
    ("australia", AUSTRALIA),
    ("new_zealand", NEW_ZEALAND),
    ("canada", CANADA),
];
