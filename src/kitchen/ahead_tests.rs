use serde_json::{Value, json};

use super::{NotAhead, day_before, hands_on_the_day};
use crate::kitchen::{Recipe, StepCare, WaitPlace, check};

/// Chop, simmer, finish with herbs; served hot. Invented.
fn stew() -> Value {
    json!({
        "id": "stew", "title": "Stew", "course": "main", "servings": 8,
        "ingredients": [{"item": "beans"}],
        "steps": [
            {"id": "chop", "text": "Chop.", "label": "chop", "hands": {"between_percent": 100},
             "ways": [{"station": "counter", "minutes": 15}]},
            {"id": "simmer", "text": "Simmer.", "label": "simmer",
             "ways": [{"station": "stovetop", "minutes": 40}], "after": [{"step": "chop"}]},
            {"id": "herbs", "text": "Stir in the herbs.", "label": "herbs",
             "hands": {"between_percent": 100},
             "ways": [{"station": "stovetop", "minutes": 3}],
             "after": [{"step": "simmer", "place": "hot"}]}],
        "holds": [{"place": "stovetop", "class": "hot", "free_minutes": 60, "points": 1,
                   "most_minutes": 120}],
        "reheat": {"after": "simmer", "ways": [{"station": "stovetop", "minutes": 20}]},
        "safety": {"class": "cooked_plant"}})
}

fn read(json: Value) -> Recipe {
    serde_json::from_value(json).expect("reads")
}

fn is_sound(recipe: &Recipe) {
    let problems = check::check_recipe(recipe);
    assert!(problems.iter().all(|p| p.severity != check::Severity::Wrong), "{problems:?}");
}

fn eve(recipe: &Recipe) -> Vec<&str> {
    recipe.steps.iter().filter(|s| s.day_before).map(|s| s.id.as_str()).collect()
}

fn before<'a>(recipe: &'a Recipe, step: &str) -> Vec<(&'a str, WaitPlace)> {
    let step = recipe.steps.iter().find(|s| s.id == step).expect("there");
    step.after.iter().map(|a| (a.step.as_str(), a.place)).collect()
}

#[test]
fn what_is_served_hot_is_cooled_and_heated_again() {
    let made = day_before(&read(stew())).expect("keeps");
    is_sound(&made);
    assert_eq!(eve(&made), ["chop", "simmer", "cool"]);
    assert_eq!(before(&made, "cool"), [("simmer", WaitPlace::Room)]);
    assert_eq!(before(&made, "reheat"), [("cool", WaitPlace::Cold)]);
    // Its own last step comes after the heating, from the hot pot.
    assert_eq!(before(&made, "herbs"), [("reheat", WaitPlace::Hot)]);
    let care = |id: &str| made.steps.iter().find(|s| s.id == id).and_then(|s| s.care);
    assert_eq!((care("cool"), care("reheat")), (Some(StepCare::Cools), Some(StepCare::Reheats)));
    // Done twice it is done once.
    assert_eq!(day_before(&made), Ok(made.clone()));
    assert_eq!((hands_on_the_day(&read(stew())), hands_on_the_day(&made)), (18, 3));
}

#[test]
fn without_a_way_to_heat_it_again_it_is_made_on_the_day() {
    let mut stew = stew();
    stew.as_object_mut().expect("an object").remove("reheat");
    assert_eq!(day_before(&read(stew.clone())), Err(NotAhead::NoReheating));
    stew["holds"] = json!([]);
    assert_eq!(day_before(&read(stew)), Err(NotAhead::KeepsTooShort));
}

/// What goes past the pot that is cooled would be left standing overnight.
#[test]
fn food_that_goes_past_the_heating_is_no_food_for_the_day_before() {
    let mut stew = stew();
    let herbs = &mut stew["steps"][2]["after"];
    herbs.as_array_mut().expect("a list").push(json!({"step": "chop"}));
    assert_eq!(day_before(&read(stew.clone())), Err(NotAhead::Forks));
    // Where it may wait cold, it does.
    stew["steps"][2]["after"][1]["place"] = json!("cold");
    assert_eq!(eve(&day_before(&read(stew.clone())).expect("keeps")), ["chop", "simmer", "cool"]);
    // But not hot from the hob: nothing cools it on that way.
    stew["steps"][0]["ways"][0]["station"] = json!("stovetop");
    assert_eq!(day_before(&read(stew)), Err(NotAhead::Forks));
}

#[test]
fn what_is_served_cold_is_dished_up_on_the_day_and_cooled_only_if_it_was_warm() {
    let mut salad = stew();
    let object = salad.as_object_mut().expect("an object");
    object.remove("reheat");
    salad["holds"] = json!([{"place": "fridge", "class": "cold", "free_minutes": 600,
        "points": 1, "most_minutes": 1440}]);
    let warm = day_before(&read(salad.clone())).expect("keeps");
    is_sound(&warm);
    assert_eq!(eve(&warm), ["chop", "simmer", "herbs", "cool"]);
    assert_eq!(before(&warm, "dish-up"), [("cool", WaitPlace::Cold)]);
    for step in 0..3 {
        salad["steps"][step]["ways"] = json!([{"station": "counter", "minutes": 15}]);
        salad["steps"][step]["hands"] = json!({"between_percent": 100});
    }
    let raw = day_before(&read(salad.clone())).expect("keeps");
    assert_eq!(eve(&raw), ["chop", "simmer", "herbs"]);
    assert_eq!(before(&raw, "dish-up"), [("herbs", WaitPlace::Cold)]);
    // Where it keeps for an evening only, nothing is made the day before.
    salad["holds"][0]["most_minutes"] = json!(240);
    assert_eq!(day_before(&read(salad)), Err(NotAhead::KeepsTooShort));
}

#[test]
fn steps_up_to_a_long_cold_wait_are_made_the_day_before() {
    let mut dip = stew();
    dip.as_object_mut().expect("an object").remove("reheat");
    dip["holds"] = json!([]);
    dip["steps"][2]["after"] = json!([{"step": "simmer", "place": "cold", "most_minutes": 1440}]);
    let made = day_before(&read(dip.clone())).expect("keeps");
    is_sound(&made);
    assert_eq!(eve(&made), ["chop", "simmer", "cool"]);
    assert_eq!(before(&made, "herbs"), [("cool", WaitPlace::Cold)]);
    let last = made.steps.iter().find(|s| s.id == "herbs").expect("there");
    assert_eq!(last.after[0].most_minutes, Some(1440));
    dip["steps"][2]["after"][0]["most_minutes"] = json!(600);
    assert_eq!(day_before(&read(dip)), Err(NotAhead::KeepsTooShort));
}

/// Five minutes at each end in full, and half of the thirty between: 25; twice that in two loads.
#[test]
fn hands_are_those_of_all_loads() {
    let hands = |load: Option<u32>| {
        let mut stew = stew();
        stew["steps"] = json!([{"id": "fry", "text": "Fry.", "label": "fry",
            "hands": {"start_minutes": 5, "end_minutes": 5, "between_percent": 50},
            "ways": [{"station": "air_fryer", "minutes": 40, "load_servings": load}]}]);
        hands_on_the_day(&read(stew))
    };
    assert_eq!([None, Some(8), Some(4), Some(3), Some(0)].map(hands), [25, 25, 50, 75, 25]);
}

/// 1 140 minutes are a night; and the night was its wait: dished up it stands for half an hour.
#[test]
fn what_waited_overnight_waits_no_longer_once_it_is_dished_up() {
    let cold = |place: &str, class: &str, most: u32| {
        let mut salad = stew();
        salad.as_object_mut().expect("an object").remove("reheat");
        salad["holds"] = json!([
            {"place": place, "class": class, "free_minutes": 600, "points": 1, "most_minutes": most,
             "best_minutes": 60, "short_points": 5},
            {"place": "counter", "class": "room", "free_minutes": 10, "points": 1, "most_minutes": 40}]);
        day_before(&read(salad))
    };
    let made = cold("fridge", "cold", 1140).expect("keeps");
    let holds: Vec<_> = made
        .holds
        .iter()
        .map(|h| (h.most_minutes, h.free_minutes, h.best_minutes, h.short_points))
        .collect();
    assert_eq!(holds, [(30, 30, None, 0), (40, 10, None, 0)]);
    assert_eq!(cold("fridge", "cold", 1139), Err(NotAhead::KeepsTooShort));
    assert_eq!(cold("freezer", "cold", 1440), Err(NotAhead::KeepsTooShort));
}

/// What waited cold or was chilled since is cold: no step has to cool it again.
#[test]
fn what_was_chilled_since_the_heat_is_not_cooled_again() {
    let cools = |change: &dyn Fn(&mut Value)| {
        let mut dip = stew();
        dip.as_object_mut().expect("an object").remove("reheat");
        dip["holds"] = json!([{"place": "fridge", "class": "cold", "free_minutes": 600, "points": 1,
            "most_minutes": 1440}]);
        dip["steps"][2]["ways"] = json!([{"station": "counter", "minutes": 15}]);
        change(&mut dip["steps"][2]);
        let made = day_before(&read(dip)).expect("keeps");
        made.steps.iter().any(|s| s.care == Some(StepCare::Cools))
    };
    assert!(cools(&|_| ()), "the herbs go into what is hot");
    let waits = |least: u32| {
        move |herbs: &mut Value| {
            herbs["after"][0] = json!({"step": "simmer", "place": "cold", "least_minutes": least});
        }
    };
    assert!(cools(&waits(0)) && cools(&waits(359)), "it may come out as warm as it went in");
    assert!(!cools(&waits(360)));
    let chills = |long: u32| {
        move |herbs: &mut Value| {
            herbs["ways"] = json!([{"station": "fridge", "minutes": long}]);
            herbs["hands"] = json!({});
        }
    };
    assert!(cools(&chills(359)) && !cools(&chills(360)));
}

/// Two pots that are finished together on the day are cooled each by itself; a pot that two steps take from is
/// cooled once.
#[test]
fn each_pot_is_cooled_by_itself_and_once() {
    let pot = |id: &str| {
        json!({"id": id, "text": "Simmer.", "label": "simmer", "hands": {"between_percent": 50},
            "ways": [{"station": "stovetop", "minutes": 40}]})
    };
    let mix = |id: &str, after: &[&str], most: Option<u32>| {
        let after: Vec<Value> = after
            .iter()
            .map(|a| json!({"step": a, "place": "cold", "most_minutes": most}))
            .collect();
        json!({"id": id, "text": "Mix.", "label": "mix", "hands": {"between_percent": 100},
            "ways": [{"station": "counter", "minutes": 5}], "after": after})
    };
    let made = |steps: Vec<Value>| {
        let mut dip = stew();
        dip.as_object_mut().expect("an object").remove("reheat");
        dip["holds"] = json!([]);
        dip["steps"] = json!(steps);
        day_before(&read(dip))
    };
    // Both pots hang together by a step that takes a look at both the day before.
    let mut look = mix("look", &["beans", "rice"], None);
    look["after"][0]["place"] = json!("room");
    look["after"][1]["place"] = json!("room");
    let last = mix("mix", &["beans", "rice", "look"], None);
    let two = made(vec![pot("beans"), pot("rice"), look, last]).expect("keeps");
    is_sound(&two);
    assert_eq!(
        before(&two, "mix").iter().map(|a| a.0).collect::<Vec<_>>(),
        ["cool", "cool2", "cool3"]
    );
    let cooled = |id: &str| before(&two, id)[0].0;
    assert_eq!((cooled("cool"), cooled("cool2"), cooled("cool3")), ("beans", "rice", "look"));
    // One pot, two steps on the day.
    let season = mix("season", &["beans"], Some(1140));
    let mut last = mix("mix", &["beans", "season"], Some(1140));
    last["after"][1]["place"] = json!("room");
    let one = made(vec![pot("beans"), season.clone(), last.clone()]).expect("keeps");
    is_sound(&one);
    assert_eq!(eve(&one), ["beans", "cool"]);
    assert_eq!((before(&one, "season")[0].0, before(&one, "mix")[0].0), ("cool", "cool"));
    // 1 140 minutes are a night, 1 139 are none.
    let short = |step: &Value| {
        let mut step = step.clone();
        step["after"][0]["most_minutes"] = json!(1139);
        step
    };
    let none = made(vec![pot("beans"), short(&season), short(&last)]);
    assert_eq!(none, Err(NotAhead::KeepsTooShort));
}

/// Nothing is made the day before that takes no work off the day.
#[test]
fn what_saves_no_work_is_made_on_the_day() {
    let mut dip = stew();
    dip.as_object_mut().expect("an object").remove("reheat");
    dip["holds"] = json!([]);
    dip["steps"][0]["hands"] = json!({});
    dip["steps"][2]["after"][0] = json!({"step": "simmer", "place": "cold", "most_minutes": 1440});
    assert_eq!(day_before(&read(dip)), Err(NotAhead::KeepsTooShort));
}
