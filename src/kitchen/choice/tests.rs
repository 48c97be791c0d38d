use serde_json::{Value, json};

use super::*;
use crate::kitchen::{Clockface, check};

/// A dish of these ingredients; invented.
fn recipe(ingredients: Value) -> Recipe {
    serde_json::from_value(json!({
        "id": "stew", "title": "Stew", "course": "main", "servings": 8, "ingredients": ingredients,
        "steps": [{"id": "cook", "text": "Cook it.", "label": "cook",
            "ways": [{"station": "stovetop", "minutes": 30}]}],
        "safety": {"class": "cooked_plant"}}))
    .expect("reads")
}

fn guest(json: Value) -> Guest {
    let mut all = json!({"name": "Ilse"});
    all.as_object_mut().expect("an object").extend(json.as_object().expect("an object").clone());
    serde_json::from_value(all).expect("reads")
}

fn halves(one: &str, other: &str) -> Recipe {
    recipe(
        json!([{"item": "leek"}, {"item": one, "half": "one"}, {"item": other, "half": "other"}]),
    )
}

/// A vegetarian eats the half without meat. Traces go from half to half, so what may make ill counts in both,
/// by whatever word the guest has for it.
#[test]
fn the_better_half_counts_but_never_against_an_allergen() {
    let of = |recipe: &Recipe, wish: Value| {
        let found = finding_of(recipe, &guest(wish));
        (found.answer, found.half)
    };
    use Answer::{Contains, NothingKnown};
    let veg = || json!({"diets": ["vegetarian"]});
    assert_eq!(of(&halves("beef steak", "mushroom"), veg()), (NothingKnown, Some(Half::Other)));
    assert_eq!(of(&halves("mushroom", "beef steak"), veg()), (NothingKnown, Some(Half::One)));
    assert_eq!(of(&halves("mushroom", "carrot"), veg()), (NothingKnown, None));
    let whole = recipe(json!([{"item": "beef steak"}, {"item": "mushroom"}]));
    assert_eq!(of(&whole, veg()), (Contains, None));
    let prawns = halves("prawn", "mushroom");
    for word in ["shellfish", "Seafood", "prawns", "crustaceans"] {
        assert_eq!(of(&prawns, json!({"avoids": [word]})), (Contains, None), "{word}");
    }
    let nuts = halves("almonds", "carrot");
    assert_eq!(of(&nuts, json!({"avoids": ["almonds"]})), (Contains, None));
    assert_eq!(of(&nuts, json!({"diets": ["nut-free"]})), (Contains, None));
    let milk = halves("butter", "olive oil");
    assert_eq!(of(&milk, json!({"diets": ["vegan"]})), (NothingKnown, Some(Half::Other)));
    assert_eq!(of(&milk, json!({"diets": ["dairy-free"]})), (Contains, None));
    let flour = halves("flour", "rice flour");
    assert_eq!(of(&flour, json!({"diets": ["gluten-free"]})), (Contains, None));
    let pork = halves("pork belly", "mushroom");
    assert_eq!(of(&pork, json!({"avoids": ["pork"]})), (NothingKnown, Some(Half::Other)));
}

#[test]
fn what_speaks_against_a_dish_is_told_worst_first() {
    let of = recipe(json!([{"item": "vegetable stock"}, {"item": "celery"}, {"item": "leek"}]));
    let found = finding_of(&of, &guest(json!({"avoids": ["celery"]})));
    let reasons: Vec<_> = found.reasons.iter().map(|r| (r.ingredient, r.answer)).collect();
    assert_eq!(reasons, [(1, Answer::Contains), (0, Answer::MayContain)]);
    assert_eq!((found.answer, found.is_open()), (Answer::Contains, false));
    // A diet that nobody here knows is left to the label.
    let unknown = finding_of(&of, &guest(json!({"diets": ["sunday best"]})));
    assert_eq!(unknown.answer, Answer::MayContain);
    // The recipe's own list of allergens stands instead of the table's.
    let own = recipe(
        json!([{"item": "celery", "allergens": []}, {"item": "leek", "allergens": ["milk"]}]),
    );
    let answer = |avoid: &str| finding_of(&own, &guest(json!({"avoids": [avoid]}))).answer;
    assert_eq!((answer("celery"), answer("milk")), (Answer::NothingKnown, Answer::Contains));
    assert_eq!(answer("egg"), Answer::NothingKnown);
}

#[test]
fn a_dish_that_is_hotter_than_they_like_is_not_open() {
    let hot = |own: Option<u32>, most: u32| {
        let mut of = recipe(json!([{"item": "leek"}, {"item": "red chilli"}]));
        of.heat = own;
        finding_of(&of, &guest(json!({"heat": most}))).too_hot
    };
    let hottest = u32::from(items::find("red chilli").expect("ours").heat);
    assert!(hottest > 0);
    assert_eq!((hot(None, hottest), hot(None, hottest - 1)), (false, true));
    assert_eq!((hot(Some(0), 0), hot(Some(3), 2), hot(Some(3), 3)), (false, true, false));
    let open = |items: Value, wish: Value| finding_of(&recipe(items), &guest(wish)).is_open();
    let chilli = || json!([{"item": "leek"}, {"item": "red chilli"}]);
    assert!(open(chilli(), json!({})) && open(chilli(), json!({"avoids": ["celery"]})));
    assert!(!open(chilli(), json!({"heat": 0})), "nothing against it, but too hot");
    assert!(
        !open(json!([{"item": "vegetable stock"}]), json!({"avoids": ["celery"]})),
        "the label"
    );
    let words: Vec<_> = (0..6).map(heat_word).collect();
    assert_eq!(words, ["not hot", "mild", "hot", "very hot", "fierce", "fierce"]);
}

/// Three mains (open, by its label, not) and a starter, for a guest who avoids celery.
fn evening(least: Value) -> Evening {
    let dishes = ["open", "label", "no", "starter"];
    let party = json!({
        "id": "p", "title": "P", "day": "2026-10-24", "least": least,
        "services": [{"id": "s", "title": "S", "at": "18:00"}],
        "dishes": dishes.map(|id| json!({"id": id, "recipe": id, "servings": 8, "service": "s"})),
        "cooks": [{"id": "ana", "name": "Ana", "free": [{"from": "14:00", "to": "23:00"}]}],
        "guests": [{"name": "Ilse", "avoids": ["celery"]}], "kitchen": "home"});
    let kitchen = json!({"id": "home", "title": "Home", "stations": [], "cookware": []});
    let of = |item: &str, course: &str| {
        let mut made = recipe(json!([{"item": item}]));
        made.course = serde_json::from_value(json!(course)).expect("a course");
        made
    };
    let recipes = vec![
        of("leek", "main"),
        of("vegetable stock", "main"),
        of("celery", "main"),
        of("leek", "starter"),
    ];
    let party: crate::kitchen::Party = serde_json::from_value(party).expect("reads");
    let face = Clockface::fixed(party.day, 0);
    check::evening(party, serde_json::from_value(kitchen).expect("reads"), recipes, face)
}

#[test]
fn enough_is_what_the_party_wishes_of_starters_and_of_mains() {
    let asked = |starters: u32, mains: u32, dropped: &[usize]| {
        let evening = evening(json!({"starters": starters, "mains": mains}));
        let choice = choices(&evening, dropped).remove(0);
        (choice.starters, choice.mains, choice.enough)
    };
    let (one, both) = (Count { open: 1, label: 0 }, Count { open: 1, label: 1 });
    assert_eq!(asked(1, 1, &[]), (one, both, Enough::Yes));
    assert_eq!(asked(1, 2, &[]).2, Enough::IfLabelsAllow);
    assert_eq!(asked(1, 3, &[]).2, Enough::No);
    assert_eq!(asked(2, 1, &[]).2, Enough::No, "the worse of the two");
    assert_eq!(asked(1, 1, &[0]).1, Count { open: 0, label: 1 });
    assert_eq!((one.words(), both.words()), ("1".to_owned(), "1 + 1?".to_owned()));
}

#[test]
fn what_no_guest_can_eat_is_told() {
    let mut evening = evening(json!({"starters": 1, "mains": 1}));
    let nobody = |evening: &Evening, dropped: &[usize]| {
        for_nobody(evening, &choices(evening, dropped), dropped)
    };
    assert_eq!(nobody(&evening, &[]), [2]);
    assert_eq!(nobody(&evening, &[2]), [0; 0]);
    evening.party.guests[0].heat = Some(1);
    evening.sheets[0].recipe.heat = Some(2);
    assert_eq!(nobody(&evening, &[]), [0, 2], "too hot for all of them");
    evening.party.guests.push(guest(json!({"name": "Bo"})));
    assert_eq!(nobody(&evening, &[]), [0; 0]);
    evening.party.guests.clear();
    assert_eq!(nobody(&evening, &[]), [0; 0], "of guests nothing is known");
}

#[test]
fn openings_name_what_would_stand_in() {
    let mut evening = evening(json!({"starters": 1, "mains": 1}));
    let put = |evening: &mut Evening, dish: usize, ingredients: Value| {
        let made = Recipe { course: evening.sheets[dish].recipe.course, ..recipe(ingredients) };
        evening.sheets[dish].written = made.clone();
        evening.sheets[dish].recipe = made;
    };
    put(&mut evening, 0, json!([{"item": "butter"}, {"item": "leek"}]));
    put(&mut evening, 1, json!([{"item": "egg"}]));
    put(&mut evening, 2, json!([{"item": "butter"}, {"item": "honey"}]));
    put(&mut evening, 3, json!([{"item": "butter"}]));
    let vegan = guest(json!({"diets": ["vegan"]}));
    let of = |evening: &Evening, guest: &Guest, dropped: &[usize]| {
        let found = openings(evening, guest, dropped).into_iter();
        found
            .map(|o| {
                let by: Vec<String> = o.swaps.into_iter().map(|s| s.by).collect();
                (o.dish, by.join(", "), o.half_will_do)
            })
            .collect::<Vec<_>>()
    };
    let row = |dish, by: &str, half| (dish, by.to_owned(), half);
    // Mains before starters, of mains the one with fewer swaps; nothing common stands in for egg.
    let all = [
        row(0, "olive oil", true),
        row(2, "olive oil, maple syrup", true),
        row(3, "olive oil", true),
    ];
    assert_eq!(of(&evening, &vegan, &[]), all);
    assert_eq!(of(&evening, &vegan, &[0, 2]), all[2..]);
    // Half and half will not do against an allergen.
    let no_milk = guest(json!({"avoids": ["milk"]}));
    assert_eq!(of(&evening, &no_milk, &[2, 3]), [row(0, "olive oil", false)]);
    evening.sheets[0].recipe.heat = Some(3);
    let mild = guest(json!({"diets": ["vegan"], "heat": 1}));
    assert_eq!(of(&evening, &mild, &[2, 3]), [], "no swap makes it milder");
}

/// What counts as enough comes before what does not, however sure that is.
#[test]
fn openings_of_mains_and_starters_come_before_those_of_puddings() {
    let mut evening = evening(json!({"starters": 1, "mains": 1}));
    let put = |evening: &mut Evening, dish: usize, course: Course, ingredients: Value| {
        let made = Recipe { course, ..recipe(ingredients) };
        (evening.sheets[dish].written, evening.sheets[dish].recipe) = (made.clone(), made);
    };
    // After its swap nothing is known against the pudding; of the main the label still decides.
    put(&mut evening, 0, Course::Dessert, json!([{"item": "butter"}]));
    put(&mut evening, 1, Course::Main, json!([{"item": "butter"}, {"item": "vegetable stock"}]));
    put(&mut evening, 2, Course::Starter, json!([{"item": "butter"}, {"item": "honey"}]));
    put(&mut evening, 3, Course::Main, json!([{"item": "leek"}]));
    let found = openings(&evening, &guest(json!({"diets": ["vegan"]})), &[]);
    let rows: Vec<_> = found.iter().map(|o| (o.dish, o.answer)).collect();
    use Answer::{MayContain, NothingKnown};
    assert_eq!(rows, [(2, NothingKnown), (1, MayContain), (0, NothingKnown)]);
}

/// The party's own swaps stay where they do no harm, and give way where another is wanted for the same item.
#[test]
fn openings_keep_the_swaps_that_were_made() {
    let mut evening = evening(json!({"starters": 1, "mains": 1}));
    let own = |item: &str, by: &str| crate::kitchen::StandIn { item: item.into(), by: by.into() };
    let mut of = |ingredients: Value, swaps: Vec<crate::kitchen::StandIn>, wish: Value| {
        evening.sheets[0].written = recipe(ingredients);
        evening.party.dishes[0].swaps = swaps;
        let dish = &evening.party.dishes[0];
        evening.sheets[0].recipe = check::as_made(dish, evening.sheets[0].written.clone());
        let found = openings(&evening, &guest(wish), &[1, 2, 3]);
        let by = |o: Opening| o.swaps.into_iter().map(|s| s.by).collect::<Vec<_>>();
        found.into_iter().map(|o| (o.answer, by(o))).collect::<Vec<_>>()
    };
    use Answer::{MayContain, NothingKnown};
    let vegan = || json!({"diets": ["vegan"]});
    let oil = || vec!["olive oil".to_owned()];
    let butter = || json!([{"item": "butter"}, {"item": "leek"}]);
    // Bacon instead of the leek still speaks against it: no swap of the butter alone would open it.
    assert_eq!(of(butter(), vec![own("leek", "bacon")], vegan()), []);
    assert_eq!(of(butter(), vec![own("leek", "carrot")], vegan()), [(NothingKnown, oil())]);
    assert_eq!(of(butter(), vec![own("butter", "lard")], vegan()), [(NothingKnown, oil())]);
    // An item that comes twice is swapped once, in both places.
    let twice = json!([{"item": "butter"}, {"item": "leek"}, {"item": "butter"}]);
    assert_eq!(of(twice, vec![], vegan()), [(NothingKnown, oil())]);
    // What the label decides and nothing stands in for stays; what surely speaks against it may not.
    let stock = json!([{"item": "butter"}, {"item": "vegetable stock"}]);
    assert_eq!(of(stock, vec![], vegan()), [(MayContain, oil())]);
    assert_eq!(of(json!([{"item": "vegetable stock"}]), vec![], vegan()), []);
    assert_eq!(of(json!([{"item": "butter"}, {"item": "egg"}]), vec![], vegan()), []);
    // What is no better than the item itself stands in for nothing.
    let named = json!([{"item": "egg", "swaps": [{"item": "butter"}]}]);
    assert_eq!(of(named, vec![], vegan()), []);
    let mustard = json!([{"item": "butter"},
        {"item": "vegetable stock", "swaps": [{"item": "wholegrain mustard"}]}]);
    assert_eq!(of(mustard, vec![], vegan()), [(MayContain, oil())]);
}

/// What stands in for something else in half of the dish is in it as well.
#[test]
fn openings_keep_the_halves_that_were_made() {
    let mut evening = evening(json!({"starters": 1, "mains": 1}));
    evening.sheets[0].written = recipe(json!([{"item": "butter"}, {"item": "leek"}]));
    let mut of = |by: &str| {
        let half = crate::kitchen::StandIn { item: "leek".into(), by: by.into() };
        evening.party.dishes[0].half = vec![half];
        let dish = &evening.party.dishes[0];
        evening.sheets[0].recipe = check::as_made(dish, evening.sheets[0].written.clone());
        let wish = guest(json!({"avoids": ["milk", "nuts"]}));
        openings(&evening, &wish, &[1, 2, 3]).into_iter().map(|o| o.answer).collect::<Vec<_>>()
    };
    assert_eq!(of("almonds"), [], "traces go from half to half");
    assert_eq!(of("carrot"), [Answer::NothingKnown]);
}

/// Peanuts are nuts to whoever says nuts; what the recipe lists itself counts, whatever the guest's word for it.
#[test]
fn a_guests_word_is_held_against_the_recipes_own_list_too() {
    let of = |ingredient: Value, avoid: &str| {
        finding_of(&recipe(json!([ingredient])), &guest(json!({"avoids": [avoid]}))).answer
    };
    use Answer::{Contains, MayContain, NothingKnown};
    assert_eq!(of(json!({"item": "peanut butter"}), "nuts"), Contains);
    assert_eq!(of(json!({"item": "peanut butter"}), "tree nuts"), NothingKnown);
    assert_eq!(of(json!({"item": "butter"}), "no dairy products"), Contains);
    let listed = |own: &str| json!({"item": "leek", "allergens": [own]});
    assert_eq!(of(listed("crustaceans"), "shellfish"), Contains);
    assert_eq!(of(listed("wheat"), "gluten"), Contains);
    assert_eq!(of(listed("tree nuts"), "almonds"), MayContain);
    assert_eq!(of(listed("milk"), "almonds"), NothingKnown);
}

#[test]
fn what_speaks_against_a_dish_is_said_in_words() {
    let evening = evening(json!({"starters": 1, "mains": 1}));
    let said = |dish: usize, guest: &Guest| {
        let sheet = &evening.sheets[dish];
        words::against(guest, sheet, &finding(sheet, guest))
    };
    let ilse = &evening.party.guests[0];
    assert_eq!(said(1, ilse), "read the label: vegetable stock");
    assert_eq!(said(2, ilse), "contains celery");
    assert_eq!(said(0, ilse), "no known source in the words given");
    assert_eq!(said(2, &guest(json!({}))), "they eat everything");
    assert_eq!(words::wishes(ilse), "no celery");
    let all = guest(json!({"diets": ["vegan"], "avoids": ["sesame"], "heat": 1}));
    assert_eq!(words::wishes(&all), "vegan, no sesame, at most mild");
    assert_eq!(words::wishes(&guest(json!({"heat": 0}))), "no chilli");
    assert_eq!(words::wishes(&guest(json!({}))), "everything");
}
