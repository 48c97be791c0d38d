//! The built-in shelf: every recipe, kitchen and the demo party are what the
//! rest of the program takes them to be, and amounts and inner temperatures
//! agree with published figures.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use potwatch::kitchen::check::{self, HoldLimits, Problem};
use potwatch::kitchen::equipment::{Kitchen, StationKind};
use potwatch::kitchen::food::FoodClass;
use potwatch::kitchen::items::{self, Answer, Diet};
use potwatch::kitchen::party::{Party, Sourced, Stretch};
use potwatch::kitchen::recipe::{Course, HoldClass, Kept, Recipe, Step, StepCare, WaitPlace};
use potwatch::kitchen::units::Unit;
use potwatch::kitchen::{Clockface, TimeOfDay, ahead};
use potwatch::plan::planner::{Budget, plan_ahead};
use potwatch::safety::Profile;
use serde::de::DeserializeOwned;

const COOKWARE: [&str; 10] = [
    "stock_pot",
    "saucepan",
    "frying_pan",
    "oven_pan",
    "sheet_tray",
    "casserole",
    "baking_dish",
    "mixing_bowl",
    "blender_jar",
    "loaf_tin",
];

const OVENPROOF: [&str; 5] = ["oven_pan", "sheet_tray", "casserole", "baking_dish", "loaf_tin"];

fn assets() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("assets")
}

/// Every file of a folder of the assets, by its name without ending.
fn shelf<T: DeserializeOwned>(folder: &str) -> BTreeMap<String, T> {
    let folder = assets().join(folder);
    let mut found = BTreeMap::new();
    for entry in std::fs::read_dir(&folder).expect("a folder of assets") {
        let path = entry.expect("an entry").path();
        if path.extension().is_none_or(|ending| ending != "json") {
            continue;
        }
        let text = std::fs::read_to_string(&path).expect("a readable file");
        let thing = serde_json::from_str(&text)
            .unwrap_or_else(|wrong| panic!("{}: {wrong}", path.display()));
        let name = path.file_stem().expect("a name").to_string_lossy().into_owned();
        found.insert(name, thing);
    }
    found
}

fn recipes() -> BTreeMap<String, Recipe> {
    shelf("recipes")
}

fn kitchens() -> BTreeMap<String, Kitchen> {
    shelf("kitchens")
}

fn demo() -> Party {
    shelf("demo").remove("party").expect("the demo party")
}

/// The demo's dishes: recipe and servings.
fn demo_dishes() -> Vec<(Recipe, u32)> {
    let mut recipes = recipes();
    demo()
        .dishes
        .into_iter()
        .map(|dish| match dish.recipe {
            Sourced::Named(id) => {
                (recipes.remove(&id).unwrap_or_else(|| panic!("no recipe {id}")), dish.servings)
            }
            Sourced::Inline(_) => panic!("{}: not by id", dish.id),
        })
        .collect()
}

/// The temperatures that a sentence names.
fn degrees(text: &str) -> Vec<f64> {
    text.split(" °C")
        .filter_map(|part| part.rsplit(|c: char| !c.is_ascii_digit()).next()?.parse().ok())
        .collect()
}

#[test]
fn degrees_are_read_from_sentences() {
    assert_eq!(degrees("Bake at 215 °C until brown, 94 °C inside; 2 trays."), [215.0, 94.0]);
    assert!(degrees("Cook 12 minutes.").is_empty());
}

#[test]
fn ids_are_the_file_names() {
    for (name, recipe) in recipes() {
        assert_eq!(name, recipe.id);
    }
    for (name, kitchen) in kitchens() {
        assert_eq!(name, kitchen.id);
    }
}

#[test]
fn the_shelf_covers_every_course() {
    let recipes = recipes();
    assert!(recipes.len() >= 24, "{} recipes", recipes.len());
    use Course::{Bread, Dessert, Drink, Main, Sauce, Side, Starter};
    for course in [Starter, Main, Side, Sauce, Bread, Dessert, Drink] {
        let count = recipes.values().filter(|r| r.course == course).count();
        assert!(count >= 2, "{course:?}: {count}");
    }
    let titles: BTreeSet<_> = recipes.values().map(|r| &r.title).collect();
    let shorts: BTreeSet<_> = recipes.values().map(|r| &r.short).collect();
    assert_eq!((titles.len(), shorts.len()), (recipes.len(), recipes.len()));
}

#[test]
fn steps_lead_to_one_last_step() {
    for (id, recipe) in recipes() {
        assert!((4..=9).contains(&recipe.steps.len()), "{id}: {} steps", recipe.steps.len());
        let mut before: BTreeSet<&str> = BTreeSet::new();
        let mut followed: BTreeSet<&str> = BTreeSet::new();
        for step in &recipe.steps {
            for after in &step.after {
                // Listed earlier: so no chain runs in a circle.
                assert!(before.contains(after.step.as_str()), "{id}/{}: {}", step.id, after.step);
                followed.insert(&after.step);
                let most = after.most_minutes.unwrap_or(u32::MAX);
                let best = after.best_minutes.unwrap_or(after.least_minutes);
                assert!(after.least_minutes <= best && best <= most, "{id}/{}", step.id);
            }
            assert!(before.insert(&step.id), "{id}: two steps {}", step.id);
        }
        let last: Vec<_> = before.difference(&followed).collect();
        assert_eq!(last.len(), 1, "{id}: {last:?}");
        for used in recipe.ingredients.iter().flat_map(|i| &i.steps) {
            assert!(before.contains(used.as_str()), "{id}: an ingredient names step {used}");
        }
    }
}

#[test]
fn steps_fit_the_chart_and_the_cook() {
    for (id, recipe) in recipes() {
        let short = recipe.short.as_deref().unwrap_or_default();
        assert!((1..=12).contains(&short.chars().count()), "{id}: {short}");
        for step in &recipe.steps {
            let at = format!("{id}/{}", step.id);
            assert!(step.text.chars().count() < 110, "{at}: {}", step.text);
            assert!(step.text.ends_with('.'), "{at}");
            assert!((1..=10).contains(&step.label.chars().count()), "{at}: {}", step.label);
            assert!(step.label.split(' ').count() <= 2, "{at}: {}", step.label);
            hands_and_minutes(&at, step);
            let dry_heat = step.ways.iter().any(|w| w.at_c.is_some());
            for need in &step.cookware {
                assert!(COOKWARE.contains(&need.kind.as_str()), "{at}: {}", need.kind);
                let proof = OVENPROOF.contains(&need.kind.as_str());
                assert!(proof || !dry_heat, "{at}: a {} in the oven", need.kind);
            }
        }
    }
}

fn hands_and_minutes(at: &str, step: &Step) {
    let hands = step.hands;
    assert!(hands.between_percent <= 100, "{at}");
    assert!(!step.ways.is_empty(), "{at}");
    for way in &step.ways {
        let m = way.minutes;
        assert!(0 < m.low && m.low <= m.likely && m.likely <= m.high, "{at}: {m:?}");
        // Even on its quickest evening the step has room for what it asks.
        assert!(hands.start_minutes + hands.end_minutes <= m.low, "{at}: {hands:?} in {m:?}");
        let dial = matches!(way.station, StationKind::Oven | StationKind::Grill);
        assert_eq!(dial, way.at_c.is_some(), "{at}: a setting");
        let slow = way.station == StationKind::SlowCooker;
        assert_eq!(slow, way.ml_per_serving.is_some(), "{at}: room in the slow cooker");
    }
}

#[test]
fn holds_are_in_order_and_safe() {
    for (id, recipe) in recipes() {
        assert!(!recipe.holds.is_empty(), "{id}");
        for hold in &recipe.holds {
            assert!(hold.free_minutes <= hold.most_minutes, "{id}");
            let sound = match hold.class {
                HoldClass::Hot => hold.place.heats(),
                HoldClass::Cold => hold.place.chills(),
                HoldClass::Room => hold.place == StationKind::Counter,
            };
            assert!(sound, "{id}: {:?} at {:?}", hold.class, hold.place);
            if let Some(kind) = &hold.cookware {
                let mut used = recipe.steps.iter().flat_map(|s| &s.cookware);
                assert!(used.any(|c| c.kind == *kind), "{id}: waits in a {kind} it never used");
            }
            // USDA FSIS, Cooking for Groups (2011), p. 22-25: held hot at 140 °F (60 °C) or more.
            if let Some(at_c) = hold.at_c {
                assert!(at_c - hold.give_c >= 60, "{id}: {at_c} less {}", hold.give_c);
            }
            // USDA consumer rule: 2 h out of control in all; the table takes 45 min of them.
            let perishable = recipe.safety.exempt.is_none();
            if hold.class == HoldClass::Room && perishable {
                assert!(hold.most_minutes <= 75, "{id}: {} min", hold.most_minutes);
            }
        }
    }
}

/// Least inner temperature in °F: USDA FSIS, Safe Minimum Internal Temperature
/// Chart (June 2012). None for classes that it does not name.
fn usda_f(class: FoodClass) -> Option<f64> {
    match class {
        FoodClass::Poultry | FoodClass::Casserole | FoodClass::Leftovers => Some(165.0),
        FoodClass::GroundMeat | FoodClass::EggDish => Some(160.0),
        FoodClass::WholeMeat | FoodClass::Fish => Some(145.0),
        _ => None,
    }
}

/// Raw animal food by the words of the shopping list.
fn is_raw(item: &str) -> bool {
    const WORDS: [&str; 6] =
        ["chicken thigh", "minced", "pork", "stewing beef", "roasting joint", "salmon side"];
    WORDS.iter().any(|word| item.contains(word))
}

#[test]
fn cooked_animal_food_is_probed_at_or_above_the_published_figure() {
    let mut probed = 0;
    for (id, recipe) in recipes() {
        let probes: Vec<&Step> = recipe.steps.iter().filter(|s| s.probe).collect();
        let class = recipe.safety.class;
        let raw = recipe.ingredients.iter().any(|i| is_raw(&i.item));
        let must = raw || matches!(class, FoodClass::Poultry | FoodClass::GroundMeat);
        assert!(!must || !probes.is_empty(), "{id}: nobody takes its temperature");
        for step in probes {
            let named = degrees(&step.text);
            // The oven's setting is never the lowest figure of a sentence.
            let inner = named.iter().copied().fold(f64::INFINITY, f64::min);
            assert!(inner.is_finite(), "{id}/{}: names no temperature", step.id);
            if let Some(f) = usda_f(class) {
                let least = (f - 32.0) / 1.8;
                assert!(inner >= least, "{id}/{}: {inner} °C, not {least:.1}", step.id);
                probed += 1;
            }
        }
    }
    assert!(probed >= 8, "{probed} figures compared");
}

/// A pound in grams: exactly 453.59237 (international pound of 1959, NIST Handbook 44).
const LB_G: f64 = 453.592_37;

/// Grams of an item in a recipe for one serving.
fn grams_each(recipe: &Recipe, item: &str) -> f64 {
    let found = recipe.ingredients.iter().filter(|i| i.item == item);
    let grams: f64 = found
        .map(|i| match (i.amount, i.unit) {
            (Some(n), Some(Unit::G)) => n.to_f64(),
            (Some(n), Some(Unit::Kg)) => n.to_f64() * 1000.0,
            other => panic!("{}: {item} is {other:?}", recipe.id),
        })
        .sum();
    assert!(grams > 0.0, "{}: no {item}", recipe.id);
    grams / f64::from(recipe.servings)
}

/// Amounts a guest, against published planning figures for crowds. The bands
/// are ours: a spread of several dishes asks for a little less than the figure
/// of a single one, a generous host gives a little more.
#[test]
fn amounts_are_those_of_the_published_planning_tables() {
    // Table of amounts for 50 guests, almanac.com: roast pork or beef 20 lb,
    // potatoes 18 lb, carrots 15 lb, cabbage for slaw 10 lb.
    let fifty = |pounds: f64| pounds * LB_G / 50.0;
    // The Seattle Times, 2001, in the manner of an extension service: 3/4 lb of
    // bone-in poultry raw, 1/4 lb of boneless meat cooked for each guest; 1.5 lb
    // of dry pasta makes salad for 25.
    let bone_in = 0.75 * LB_G;
    let cooked = 0.25 * LB_G;
    // USDA Food Buying Guide, as quoted: 1 lb of ground beef of at most 20 %
    // fat gives 0.74 lb cooked; 1 lb of long-grain (brown) rice gives 6.5 cups;
    // half a cup is the side that a planning guide gives each guest.
    let ground = cooked / 0.74;
    let half_cup_rice = LB_G / 13.0;
    let table = [
        ("orchard-pork", "boneless pork shoulder", fifty(20.0), 0.8, 1.25),
        ("beef-joint", "boneless beef roasting joint", fifty(20.0), 0.8, 1.25),
        ("beef-braise", "stewing beef", fifty(20.0), 0.8, 1.25),
        ("chicken-thighs", "bone-in chicken thigh", bone_in, 0.8, 1.25),
        ("turkey-meatballs", "minced turkey", ground, 0.8, 1.25),
        ("beef-oat-loaf", "minced beef", ground, 0.8, 1.25),
        // A heaped serving of rice is up to a cup.
        ("herb-rice", "long-grain rice", half_cup_rice, 1.0, 2.0),
        ("crushed-potatoes", "small potato", fifty(18.0), 0.8, 1.25),
        ("buttermilk-mash", "floury potato", fifty(18.0), 0.8, 1.25),
        ("glazed-carrots", "carrot", fifty(15.0), 0.8, 1.25),
        ("cabbage-slaw", "white cabbage", fifty(10.0), 0.8, 1.25),
        ("pasta-salad", "pasta tubes", 1.5 * LB_G / 25.0, 0.8, 1.4),
    ];
    let recipes = recipes();
    for (id, item, published, low, high) in table {
        let ours = grams_each(&recipes[id], item);
        let share = ours / published;
        assert!((low..=high).contains(&share), "{id}: {ours:.0} g, published {published:.0} g");
    }
}

/// Table of amounts for 50 guests, almanac.com: 2.5 gallons of soup, 100 rolls.
#[test]
fn soups_and_rolls_are_those_of_the_published_planning_tables() {
    let recipes = recipes();
    let published = 2.5 * 3_785.411_784 / 50.0;
    for id in ["squash-soup", "lentil-soup"] {
        let ours = f64::from(recipes[id].portion_ml.expect("a portion"));
        let share = ours / published;
        assert!((0.8..=1.5).contains(&share), "{id}: {ours} ml, published {published:.0} ml");
    }
    let rolls = &recipes["oat-rolls"];
    let shape = rolls.steps.iter().find(|s| s.id == "shape").expect("they are shaped");
    let mut words = shape.text.split([' ', ',']).skip_while(|word| *word != "into");
    let count: u32 = words.nth(1).and_then(|n| n.parse().ok()).expect("\"cut into 32\"");
    assert_eq!(count * 50, 100 * rolls.servings);
}

/// A pan holds what goes into it, and a slow cooker is filled to two thirds at
/// the most (Iowa State University Extension on slow cookers: "half to two-thirds").
#[test]
fn pots_are_large_enough_and_slow_cookers_not_too_full() {
    for (id, kitchen) in kitchens() {
        for station in kitchen.stations.iter().filter(|s| s.kind == StationKind::SlowCooker) {
            let litres: f64 = station
                .title
                .split_whitespace()
                .find_map(|word| word.parse().ok())
                .expect("its size in the title");
            let usable = f64::from(station.volume_ml.expect("a volume"));
            assert!(usable <= litres * 1000.0 * 2.0 / 3.0, "{id}/{}", station.id);
        }
    }
    for (id, recipe) in recipes() {
        let Some(portion) = recipe.portion_ml else { continue };
        let made = u64::from(portion) * u64::from(recipe.servings);
        for need in recipe.steps.iter().flat_map(|s| &s.cookware) {
            let (Some(ml), "stock_pot" | "casserole") = (need.least_ml, need.kind.as_str()) else {
                continue;
            };
            assert!(u64::from(ml * need.count) >= made, "{id}: {made} ml in a {}", need.kind);
        }
    }
}

#[test]
fn items_have_one_name_each() {
    let recipes = recipes();
    let items: BTreeSet<&str> =
        recipes.values().flat_map(|r| &r.ingredients).map(|i| i.item.as_str()).collect();
    for item in &items {
        assert_eq!(*item, item.trim());
        for ending in ["s", "es"] {
            let plural = format!("{item}{ending}");
            assert!(!items.contains(plural.as_str()), "{item} and {plural}");
        }
    }
    let shared = |item: &str| {
        recipes.values().filter(|r| r.ingredients.iter().any(|i| i.item == item)).count()
    };
    // What several dishes share can be bought, peeled and cut in one go.
    for item in ["onion", "garlic", "olive oil", "butter", "lemon", "salt", "parsley"] {
        assert!(shared(item) >= 6, "{item}: {}", shared(item));
    }
}

/// The limits of the consumer guidance, as the check asks for them.
#[test]
fn the_table_knows_every_item_and_where_it_is_kept() {
    for (id, recipe) in recipes() {
        for ingredient in &recipe.ingredients {
            let item = items::find(&ingredient.item);
            let item =
                item.unwrap_or_else(|| panic!("{id}: {} is not in the table", ingredient.item));
            assert!(!item.raw || ingredient.kept != Kept::Cupboard, "{id}: {}", ingredient.item);
            for swap in &ingredient.swaps {
                assert!(items::find(&swap.item).is_some(), "{id}: {}", swap.item);
                // No swap opens a dish to a diet that its own words speak against.
                for diet in swap.opens.iter().filter_map(|d| Diet::named(d)) {
                    let answer = items::against(&swap.item, diet);
                    assert_ne!(answer, Answer::Contains, "{id}: {} for {diet:?}", swap.item);
                }
            }
        }
    }
}

fn limits() -> Vec<HoldLimits> {
    let profile = Profile::by_id("us_consumer").expect("built in");
    vec![HoldLimits { guidance: profile.id.clone(), hot_c: profile.hot_hold_least.c() }]
}

fn sentences(problems: &[Problem]) -> Vec<String> {
    problems.iter().map(|p| format!("{}: {}", p.place.path, p.what)).collect()
}

/// The program's own check finds nothing to say about what it brings along.
#[test]
fn the_check_is_content_with_shelf_and_demo() {
    for (id, recipe) in recipes() {
        assert_eq!(sentences(&check::check_recipe(&recipe)), [""; 0], "{id}");
    }
    for (id, kitchen) in kitchens() {
        assert_eq!(sentences(&check::check_kitchen(&kitchen)), [""; 0], "{id}");
    }
    let dishes: Vec<Recipe> = demo_dishes().into_iter().map(|(recipe, _)| recipe).collect();
    let found = check::check(&demo(), &kitchens()["home"], &dishes, &limits());
    assert_eq!(sentences(&found), [""; 0]);
}

/// A party of one dish, at the recipe's own servings, in a kitchen.
fn fits(recipe: &Recipe, kitchen: &Kitchen) -> bool {
    let mut party = demo();
    party.dishes.truncate(1);
    party.dishes[0].servings = recipe.servings;
    let found = check::check(&party, kitchen, std::slice::from_ref(recipe), &limits());
    found.iter().all(|p| p.severity != check::Severity::Wrong)
}

#[test]
fn every_recipe_can_be_made_somewhere_and_every_station_is_of_use() {
    let (recipes, kitchens) = (recipes(), kitchens());
    assert!(kitchens.len() >= 3);
    for (id, recipe) in &recipes {
        let places: Vec<_> = kitchens.values().filter(|k| fits(recipe, k)).map(|k| &k.id).collect();
        // Grilled food asks for a grill or an air fryer; the rest for less.
        let least = if id == "grilled-courgettes" { 1 } else { 2 };
        assert!(places.len() >= least, "{id}: {places:?}");
    }
    let home = recipes.values().filter(|r| fits(r, &kitchens["home"])).count();
    assert_eq!(home, recipes.len(), "the home kitchen makes the whole shelf");
    for kind in StationKind::ALL {
        let has = |k: &Kitchen| k.stations.iter().any(|s| s.kind == kind);
        assert!(kitchens.values().any(has), "{kind:?} in no kitchen");
        assert!(recipes.values().any(|r| kinds_of(r).contains(&kind)), "{kind:?} in no recipe");
    }
}

/// Each recipe that can be made the day before is planned so: what was warm is
/// cooled then, what is served hot is heated again on the day.
#[test]
fn what_keeps_is_planned_for_the_day_before() {
    let mut made = Vec::new();
    for (id, recipe) in recipes() {
        let Ok(before) = ahead::day_before(&recipe) else { continue };
        assert_eq!(sentences(&check::check_recipe(&before)), [""; 0], "{id}");
        let kitchens = kitchens();
        let kitchen = kitchens.values().find(|k| fits(&before, k)).expect("a kitchen");
        let mut party = demo();
        party.services.truncate(1);
        party.dishes.truncate(1);
        party.dishes[0].service = party.services[0].id.clone();
        (party.dishes[0].servings, party.dishes[0].day_before) = (recipe.servings, true);
        // Slow cooking takes longer than the usual evening.
        let (from, to) = (TimeOfDay(10 * 60), TimeOfDay(22 * 60));
        party.cooks[0].free_day_before = vec![Stretch { from, to }];
        let face = Clockface::fixed(party.day, 0);
        let evening = check::evening(party, kitchen.clone(), vec![recipe.clone()], face);
        let budget = Budget { seed: 1, rounds: 20, stop: &|| false };
        let plan = plan_ahead(&evening, &budget, &mut |_| ());
        let plan = plan.unwrap_or_else(|no| panic!("{id}: {no:?}"));
        let of = |care| plan.blocks.iter().any(|b| before.steps[b.key.step].care == Some(care));
        assert_eq!(plan.cost.late, 0, "{id}");
        assert_eq!(of(StepCare::Reheats), recipe.reheat.is_some(), "{id}");
        assert!(plan.blocks.iter().all(|b| (b.end <= 0) == before.steps[b.key.step].day_before));
        made.push(id);
    }
    assert!(made.len() >= 15, "{made:?}");
}

/// Kinds of station at which a recipe is made or waits.
fn kinds_of(recipe: &Recipe) -> BTreeSet<StationKind> {
    let ways = recipe.steps.iter().flat_map(|s| &s.ways).map(|w| w.station);
    let holds = recipe.holds.iter().map(|h| h.place);
    let waits = recipe
        .steps
        .iter()
        .flat_map(|s| &s.after)
        .filter(|a| a.place == WaitPlace::Cold)
        .map(|_| StationKind::Fridge);
    ways.chain(holds).chain(waits).collect()
}

#[test]
fn the_demo_names_what_is_there() {
    let party = demo();
    let recipes = recipes();
    for dish in &party.dishes {
        let Sourced::Named(id) = &dish.recipe else { panic!("{}: not by id", dish.id) };
        assert!(recipes.contains_key(id), "{}: no recipe {id}", dish.id);
        assert!(party.services.iter().any(|s| s.id == dish.service), "{}", dish.id);
    }
    let Sourced::Named(kitchen) = &party.kitchen else { panic!("kitchen not by id") };
    assert!(kitchens().contains_key(kitchen));
    assert_eq!(party.guests.iter().map(|g| g.count).sum::<u32>(), 16);
}

#[test]
fn the_demo_shows_every_kind_of_rule() {
    let dishes = demo_dishes();
    let home = &kitchens()["home"];
    let used: BTreeSet<StationKind> = dishes.iter().flat_map(|(r, _)| kinds_of(r)).collect();
    let there: BTreeSet<StationKind> = home.stations.iter().map(|s| s.kind).collect();
    assert_eq!(used, there, "stations used and stations of the home kitchen");

    let steps = || dishes.iter().flat_map(|(r, n)| r.steps.iter().map(move |s| (r, *n, s)));
    let settings: BTreeSet<i32> =
        steps().flat_map(|(_, _, s)| &s.ways).filter_map(|w| w.at_c).collect();
    assert!(settings.len() >= 3, "one oven, settings {settings:?}");
    let loads = |kind| {
        steps().any(|(_, n, s)| {
            s.ways[0].station == kind && s.ways[0].load_servings.is_some_and(|l| n.div_ceil(l) >= 2)
        })
    };
    assert!(loads(StationKind::AirFryer) && loads(StationKind::Stovetop), "batches");
    assert!(steps().any(|(_, _, s)| s.ways.len() >= 2), "two ways to cook one dish");
    assert!(steps().any(|(_, _, s)| s.after.iter().any(|a| a.best_minutes.is_some())), "rests");
    assert!(dishes.iter().any(|(r, _)| hob_to_oven(r)), "a pan from hob to oven");
    let hold = |id: &str, f: &dyn Fn(&Recipe) -> bool| {
        f(&dishes.iter().find(|(r, _)| r.id == id).expect("in the demo").0)
    };
    assert!(hold("corn-fritters", &|r| r.holds.iter().all(|h| h.most_minutes <= 10)));
    assert!(hold("herb-rice", &|r| r.holds.iter().all(|h| h.class == HoldClass::Hot)));
    assert!(hold("orchard-pork", &|r| {
        r.holds.iter().all(|h| h.place == StationKind::SlowCooker && h.points > 0)
    }));
}

/// Does one ovenproof pan go from a burner into the oven?
fn hob_to_oven(recipe: &Recipe) -> bool {
    let with_pan = |kind| {
        recipe.steps.iter().any(|s| {
            s.ways.iter().any(|w| w.station == kind)
                && s.cookware.iter().any(|c| c.kind == "oven_pan")
        })
    };
    with_pan(StationKind::Stovetop) && with_pan(StationKind::Oven)
}

/// The demo is busy, but one cook can do it: hands-on minutes against the time
/// from the cook's coming to the last service.
#[test]
fn the_demo_leaves_its_cook_some_air() {
    let mut hands = 0;
    let mut blocks = 0;
    for (recipe, servings) in demo_dishes() {
        for step in &recipe.steps {
            let way = &step.ways[0];
            let loads = way.load_servings.map_or(1, |n| servings.div_ceil(n));
            let full = step.hands.start_minutes + step.hands.end_minutes;
            let between = way.minutes.likely.saturating_sub(full);
            // A step that asks for half a cook leaves no room for full attention elsewhere.
            let busy = if step.hands.between_percent > 0 { between } else { 0 };
            hands += loads * (full + busy);
            blocks += loads;
        }
    }
    let party = demo();
    let last = party.services.iter().map(|s| s.at).max().expect("a service").0;
    let free: i32 =
        party.cooks.iter().flat_map(|c| &c.free).map(|f| f.to.0.min(last) - f.from.0).sum();
    let share = f64::from(hands) / f64::from(free);
    assert!((40..=60).contains(&blocks), "{blocks} blocks");
    assert!((0.45..=0.65).contains(&share), "{hands} of {free} minutes");
}
